"""Presets of body, ball and shot by level, each figure with its range, evidence and source."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.vocabulary import Evidence, Level


@dataclass(frozen=True, slots=True)
class Figure:
    """One parameter: middle value, half-width of its range, unit, evidence, source."""

    name: str
    text: str
    unit: str
    mid: float
    spread: float
    evidence: Evidence
    source: str

    @property
    def low(self) -> float:
        """Lower end of the range."""
        return self.mid - self.spread

    @property
    def high(self) -> float:
        """Upper end of the range."""
        return self.mid + self.spread


@dataclass(frozen=True, slots=True)
class Preset:
    """Every figure of one level, in the order of `FIGURES`."""

    level: Level
    figures: tuple[Figure, ...]

    def __getitem__(self, name: str) -> Figure:
        return self.figures[FIGURES.index(name)]

    @property
    def height_cm(self) -> Figure:
        """Standing height."""
        return self["height_cm"]

    def mids(self) -> NDArray[np.float64]:
        """Middle values, shape (figures,)."""
        return np.array([figure.mid for figure in self.figures])

    def drawn(self, quantiles: NDArray[np.float64]) -> NDArray[np.float64]:
        """Values at the given quantiles of each figure's symmetric triangular range.

        Parameters
        ----------
        quantiles
            Between 0 and 1, shape (..., figures).
        """
        return drawn(self.figures, quantiles)


def triangular(quantiles: NDArray[np.float64]) -> NDArray[np.float64]:
    """Quantiles of the symmetric triangular law on −1 … 1: ``√(2q) − 1`` below one half, ``1 − √(2(1 − q))`` above."""
    low = np.sqrt(2 * np.minimum(quantiles, 0.5)) - 1
    high = 1 - np.sqrt(2 * np.minimum(1 - quantiles, 0.5))
    return np.asarray(np.where(quantiles < 0.5, low, high), np.float64)


def read_figures(package: str, name: str) -> tuple[Figure, ...]:
    """Figures that are the same for every level, from a TOML file of a package."""
    table = tomllib.loads(files(package).joinpath(name).read_text("utf-8"))
    return tuple(Figure(name=key, **(row | {"evidence": Evidence(row["evidence"])})) for key, row in table.items())


def drawn(figures: tuple[Figure, ...], quantiles: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values of figures at the given quantiles of their ranges, shape (..., figures)."""
    mid = np.array([figure.mid for figure in figures])
    return mid + np.array([figure.spread for figure in figures]) * triangular(quantiles)


def latin_hypercube(sets: int, columns: int, *, seed: int) -> NDArray[np.float64]:
    """Quantiles spread evenly over each column, in an order fixed by the seed, shape (sets, columns)."""
    strata = np.tile((np.arange(sets) + 0.5) / sets, (columns, 1))
    return np.ascontiguousarray(np.random.Generator(np.random.Philox(seed)).permuted(strata, axis=1).T)


def fixed_quantiles(sets: int, others: int, *, seed: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Fixed quantiles for the figures of a body and for a model's own: (sets, figures) and (sets, others).

    Figures that joined after the first are dealt last, so that a new one moves no draw that was there before.
    """
    quantiles = latin_hypercube(sets, len(FIGURES) + others, seed=seed)
    first, own, later = np.split(quantiles, [FIRST_FIGURES, FIRST_FIGURES + others], axis=1)
    return np.hstack([first, later]), np.ascontiguousarray(own)


@cache
def preset(level: Level) -> Preset:
    """The preset of a level."""
    column = _table()["levels"].index(level.value)
    return Preset(level, tuple(_figure(name, row, column) for name, row in _table()["parameters"].items()))


def _figure(name: str, row: dict[str, Any], column: int) -> Figure:
    return Figure(
        name=name,
        text=row["text"],
        unit=row["unit"],
        mid=row["mid"][column],
        spread=row["spread"][column],
        evidence=Evidence(row["evidence"][column]),
        source=row["source"],
    )


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(files("courtwright.floor").joinpath("presets.toml").read_text("utf-8"))


FIGURES: Final[tuple[str, ...]] = tuple(_table()["parameters"])
"""Names of the figures, in the order of the arrays the kernels see."""

FIRST_FIGURES: Final = FIGURES.index("reset_points") + 1
"""How many figures there were at first; see `fixed_quantiles`."""

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
        spread = np.array([figure.spread for figure in self.figures])
        return self.mids() + spread * triangular(quantiles)


def triangular(quantiles: NDArray[np.float64]) -> NDArray[np.float64]:
    """Quantiles of the symmetric triangular law on −1 … 1: ``√(2q) − 1`` below one half, ``1 − √(2(1 − q))`` above."""
    low = np.sqrt(2 * np.minimum(quantiles, 0.5)) - 1
    high = 1 - np.sqrt(2 * np.minimum(1 - quantiles, 0.5))
    return np.asarray(np.where(quantiles < 0.5, low, high), np.float64)


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

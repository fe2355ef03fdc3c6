"""Whether a trial's forecasts were any good: scored after the run, against simple forecasts that anybody could make.

A forecast is a set of draws of what a run brings. Its score is the CRPS: how far the draws lie from what came, less
half of how far they lie from each other; 0 is perfect, and for a single number it is the plain error. Source:
Gneiting & Raftery 2007. "No better than the last five runs" is an answer, and so is "too few to say".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from courtwright.errors import WordError
from courtwright.review.intervals import Interval, wilson
from courtwright.review.rates import DIGITS, LEVEL

LAST: Final = 5
"""Runs of which the simple forecast is made up."""
FEWEST: Final = 8
"""Forecasts below which nothing is said of their worth. A guess."""

Vector = NDArray[np.float64]


def crps(draws: Sequence[float] | Vector, seen: float) -> float:
    """Continuous ranked probability score of draws against what came, in its unit; less is better."""
    ordered = np.sort(np.asarray(draws, float))
    count = len(ordered)
    if not count:
        raise WordError("a forecast needs at least one draw")
    # the mean distance of two draws, from the sorted ones
    spread = 2 * float((2 * np.arange(1, count + 1) - count - 1) @ ordered) / count**2
    return float(np.abs(ordered - seen).mean()) - spread / 2


def last_runs(seen: Sequence[float]) -> list[Vector | None]:
    """The forecast of each run by the runs before it, at most `LAST`; None before the first."""
    told = np.asarray(seen, float)
    return [told[max(0, at - LAST) : at] if at else None for at in range(len(told))]


@dataclass(frozen=True, slots=True)
class Verdict:
    """How the forecasts did."""

    runs: int
    """that both kinds of forecast were scored on"""
    score: float
    baseline: float
    skill: float | None
    """1 − score / baseline; None where the baseline has no error"""
    gain: Interval
    """likely mean gain a run over the baseline, in its unit; above 0 is better"""
    inside: int
    """runs that came within the nine in ten of the forecast"""
    coverage: Interval
    """what that says of the share in the long run"""

    @property
    def said(self) -> str:
        """In words."""
        if self.runs < FEWEST:
            return "too few to say"
        if self.gain.low > 0:
            return "better"
        return "worse" if self.gain.high < 0 else "no better"

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {
            "runs": self.runs,
            "score": round(self.score, DIGITS),
            "baseline": round(self.baseline, DIGITS),
            "skill": None if self.skill is None else round(self.skill, DIGITS),
            "gain": [round(end, DIGITS) for end in self.gain],
            "inside": self.inside,
            "coverage": [round(end, DIGITS) for end in self.coverage],
            "level": LEVEL,
            "said": self.said,
        }


def verdict(
    forecasts: Sequence[Sequence[float] | Vector],
    seen: Sequence[float],
    baseline: Sequence[Sequence[float] | Vector | None],
) -> Verdict:
    """Score forecasts that were stored before their runs.

    Parameters
    ----------
    forecasts
        draws for each run, stored before it.
    seen
        what each run brought, in order of play.
    baseline
        a simple forecast of each, `last_runs` or the level's usual draws; runs where it is None are left out.
    """
    if not len(forecasts) == len(seen) == len(baseline):
        raise WordError("every run needs a forecast, a result and a simple forecast")
    rows = zip(forecasts, seen, baseline, strict=True)
    kept = [(draws, came, simple) for draws, came, simple in rows if simple is not None]
    if not kept:
        raise WordError("there is no run yet with a simple forecast to compare with")
    ours = np.array([crps(draws, came) for draws, came, _ in kept])
    theirs = np.array([crps(simple, came) for _, came, simple in kept])
    inside = sum(_within(draws).holds(came) for draws, came, _ in kept)
    base = float(theirs.mean())
    skill = 1 - float(ours.mean()) / base if base else None
    gain = _mean_range(theirs - ours)
    return Verdict(len(kept), float(ours.mean()), base, skill, gain, inside, wilson(inside, len(kept), LEVEL))


def _within(draws: Sequence[float] | Vector) -> Interval:
    low, high = np.quantile(np.asarray(draws, float), [(1 - LEVEL) / 2, (1 + LEVEL) / 2])
    return Interval(float(low), float(high))


def _mean_range(values: Vector) -> Interval:
    """Range of a mean by Student's t; runs of one season are taken as independent."""
    if len(values) < 2:
        return Interval(-np.inf, np.inf)
    half = stdtrit(len(values) - 1, (1 + LEVEL) / 2) * values.std(ddof=1) / np.sqrt(len(values))
    return Interval(float(values.mean() - half), float(values.mean() + half))

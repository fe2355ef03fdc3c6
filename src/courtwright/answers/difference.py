"""The difference between two trials played on the same random numbers, run beside run.

Run i of both plays the same parameter set, and its possessions draw from the same
streams: what the two share falls out of the difference of a run. The interval is
for the mean difference over the parameter sets; how often the sets agree on the
direction is told apart from it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

import numpy as np
from scipy.special import ndtr, stdtrit

from courtwright.trial.measures import EACH, MADE, POINTS, Measure, rounded
from courtwright.trial.runs import Results
from courtwright.trial.spread import Floats, mean_error, spread_of

SURE: Final = 0.95
"""How sure the interval is."""
AGREED: Final = 0.8
"""A direction counts where at least so many of the parameter sets agree on it."""
FEWEST_PAIRS: Final = 8
LEAST_POINTS: Final = 0.03
LEAST_SHARE: Final = 0.02
"""Of the 45 possessions of ten minutes: less than one."""
LEAST: Final = {
    POINTS: LEAST_POINTS,
    EACH: 0.03,
    "per run": 1.0,
    "seconds": 0.2,
    "metres": 0.1,
    MADE: LEAST_SHARE,
}
"""By unit, what is still called no difference; shares of all kinds are alike."""


class Verdict(StrEnum):
    """What a difference amounts to."""

    UP = "up"
    DOWN = "down"
    NONE = "no difference"
    UNTOLD = "cannot tell"


@dataclass(frozen=True, slots=True)
class Difference:
    """One measure in two trials: the second less the first."""

    measure: Measure
    first: float
    second: float
    low: float
    high: float
    agree: float | None
    """share of parameter sets with the same direction; nothing where runs are too few to say"""
    doubted: bool = False
    """whether the trial is known not to tell this; see `courtwright.answers.doubts`"""

    @property
    def change(self) -> float:
        """The second less the first."""
        return self.second - self.first

    @property
    def least(self) -> float:
        """What is called no difference, up to here."""
        return LEAST.get(self.measure.unit, LEAST_SHARE)

    @property
    def verdict(self) -> Verdict:
        """Up or down where chance is ruled out, the size matters and the sets agree; else whether anything is known."""
        if self.doubted:
            return Verdict.UNTOLD
        sure = self.low > 0.0 or self.high < 0.0
        slight = abs(self.change) < self.least
        farthest = max(abs(self.low), abs(self.high))
        if farthest <= self.least or (sure and slight and farthest <= 2 * self.least):
            return Verdict.NONE
        if not sure or slight or self.depends:
            return Verdict.UNTOLD
        return Verdict.UP if self.change > 0 else Verdict.DOWN

    @property
    def depends(self) -> bool:
        """Whether the direction turns on what is not known."""
        return self.agree is not None and self.agree < AGREED

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {
            "key": self.measure.key,
            "text": self.measure.text,
            "unit": self.measure.unit,
            "first": rounded(self.first),
            "second": rounded(self.second),
            "change": rounded(self.change),
            "low": stated(self.low),
            "high": stated(self.high),
            "least": self.least,
            "verdict": self.verdict.value,
            "doubted": self.doubted,
            "share_of_sets_agreeing": None if self.agree is None else round(self.agree, 2),
        }


def stated(value: float) -> float | None:
    """As it is written down; nothing where pairs are too few for an end."""
    return rounded(value) if math.isfinite(value) else None


def difference(measure: Measure, first: Results, second: Results, *, doubted: bool = False) -> Difference | None:
    """Compare a measure run by run; nothing where one of the two has too little to say."""
    if not (measure.said(first) and measure.said(second)):
        return None
    (one, one_off), (other, other_off) = measure.deviations(first), measure.deviations(second)
    apart = other_off - one_off
    reach = _reach(apart)
    change = other - one
    return Difference(measure, one, other, change - reach, change + reach, _agreeing(apart, change), doubted)


def _reach(apart: Floats) -> float:
    """Half the interval of a mean difference."""
    pairs = len(apart)
    if not np.any(apart):
        return 0.0
    if pairs < FEWEST_PAIRS:
        return math.inf
    return float(stdtrit(pairs - 1, 0.5 + SURE / 2)) * mean_error(apart)


def _agreeing(apart: Floats, change: float) -> float | None:
    spread = spread_of(apart)
    if spread is None or change == 0.0:
        return None
    return 1.0 if spread.sets_sd == 0.0 else float(ndtr(abs(change) / spread.sets_sd))

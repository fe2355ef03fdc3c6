"""What a trial measures: each a ratio of two counts of a run, with a mean over all runs and a range of single runs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.trial.layout import EVENTS
from courtwright.trial.runs import TALLY, Results
from courtwright.trial.spread import HIGH, LOW, ratio_deviations, spread_of

RANGE_TEXT: Final = "8 of 10 runs fall between low and high; parameter draws are mixed in"
FEW: Final = 3.0
"""Mean events per run below which a ratio is not stated."""
DIGITS: Final = 4


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean over all runs and the range that single runs fall in; nothing where there is too little to say."""

    mean: float | None
    low: float | None
    high: float | None
    unit: str

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {"mean": self.mean, "low": self.low, "high": self.high, "unit": self.unit}


def rounded(value: float) -> float:
    """As it is written down; whole runs of digits would pretend a precision that is not there."""
    return round(float(value), DIGITS)


def estimate(values: NDArray[np.float64], unit: str, *, mean: float | None = None) -> Estimate:
    """Mean (or a pooled one given) and the 10 % and 90 % points of single runs."""
    low, high = np.quantile(values, [LOW, HIGH])
    return Estimate(rounded(float(values.mean()) if mean is None else mean), rounded(low), rounded(high), unit)


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: the sum of some counts over the sum of others."""

    key: str
    text: str
    unit: str
    over: tuple[str, ...]
    under: tuple[str, ...] = ("possessions",)
    few: bool = False
    """whether few events mean that nothing can be said"""

    def of(self, results: Results) -> Estimate:
        """The estimate; pooled over runs for the mean, run by run for the range."""
        above, below = self.counts(results)
        if not self.said(results):
            return Estimate(None, None, None, self.unit)
        some = below > 0
        return estimate(above[some] / below[some], self.unit, mean=float(above.sum() / below.sum()))

    def said(self, results: Results) -> bool:
        """Whether enough happened to say anything."""
        above, below = self.counts(results)
        counted = below if self.unit in BY_CASES else above
        return bool(below.sum() > 0 and not (self.few and counted.mean() < FEW))

    def counts(self, results: Results) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The two sums of each run."""
        return _summed(results, self.over), _summed(results, self.under)

    def deviations(self, results: Results) -> tuple[float, NDArray[np.float64]]:
        """The pooled mean, and how far each run pulls it."""
        return ratio_deviations(*self.counts(results))

    def ranges(self, results: Results) -> dict[str, Any] | None:
        """The range apart: by luck alone, and by what is not known alone; nothing where there are too few runs."""
        mean, deviations = self.deviations(results) if self.said(results) else (0.0, np.empty(0))
        spread = spread_of(deviations)
        if spread is None:
            return None
        parts = {"sampling": spread.luck, "parameters": spread.sets}
        ends = {name: spread.middle(part, mean) for name, part in parts.items()}
        return {
            name: {"low": self._within(low), "high": self._within(high), "unit": self.unit}
            for name, (low, high) in ends.items()
        }

    def _within(self, value: float) -> float:
        """A share stays a share; nothing but points can be less than nothing."""
        least = -math.inf if self.unit == POINTS else 0.0
        return rounded(min(max(value, least), 1.0 if self.unit.startswith("share") else math.inf))


def _summed(results: Results, names: tuple[str, ...]) -> NDArray[np.float64]:
    total: NDArray[np.float64] = np.array([column(results, name) for name in names]).sum(axis=0)
    return total


def column(results: Results, name: str) -> NDArray[np.float64]:
    """A count or tally by name, one number for each run."""
    if name == "runs":
        return np.ones(len(results.tally))
    if name in TALLY:
        return results.tally[:, TALLY.index(name)]
    return results.events[:, EVENTS.index(name)].astype(np.float64)


ATTEMPTS: Final = ("attempt_rim", "attempt_mid", "attempt_three")
BOARDS: Final = ("offensive_rebound", "defensive_rebound")
TURNOVERS: Final = tuple(name for name in EVENTS if name.startswith("turnover_"))
SHARE: Final = "share of possessions"
EACH: Final = "per possession"
POINTS: Final = "points per possession"
MADE: Final = "share of tries"
BY_CASES: Final = ("metres", MADE)
"""Units of measures whose cases, not events, must be enough."""

MEASURES: Final = (
    Measure("points", "points of the offence", POINTS, ("points_offence",)),
    Measure("points_against", "points of the defence", POINTS, ("points_defence",)),
    Measure("possessions", "possessions", "per run", ("possessions",), ("runs",)),
    Measure("length", "length of a possession", "seconds", ("play_s",)),
    Measure("in_play", "ball in play", "share of the time", ("play_s",), ("clock_s",)),
    Measure("scored", "scored", SHARE, ("scored",)),
    Measure("help_drawn", "help drawn", SHARE, ("with_help",)),
    Measure("help_on_dribble_1", "first help on dribble 1", SHARE, ("help_1",), few=True),
    Measure("help_on_dribble_2", "first help on dribble 2", SHARE, ("help_2",), few=True),
    Measure("help_on_dribble_3", "first help on dribble 3", SHARE, ("help_3",), few=True),
    Measure("help_later", "first help later", SHARE, ("help_later",), few=True),
    Measure("drives", "drives", EACH, ("drive",)),
    Measure("beaten", "defender beaten", "share of drives", ("beaten",), ("drive",)),
    Measure("kick_outs", "kick-outs", EACH, ("kick_out",)),
    Measure("passes", "passes", EACH, ("pass",)),
    Measure("extra_passes", "extra passes", EACH, ("extra_pass",), few=True),
    Measure("deflections", "passes touched", EACH, ("deflection",), few=True),
    Measure("paint_touches", "paint touches", EACH, ("paint_touch",)),
    Measure("gap_first_shot", "gap at the first shot", "metres", ("first_gap_sum_m",), ("first_gaps",)),
    Measure("gap_kick_out", "gap at a shot off a kick-out", "metres", ("kick_gap_sum_m",), ("kick_gaps",), few=True),
    Measure("open_shots", "open jump shot taken", SHARE, ("with_open_shot",), few=True),
    Measure("open_turned_down", "open catches turned down", EACH, ("open_turned_down",), few=True),
    Measure("rim_share", "shots at the rim", "share of shots", ("attempt_rim",), ATTEMPTS),
    Measure("three_share", "shots beyond the arc", "share of shots", ("attempt_three",), ATTEMPTS),
    Measure("rim_made", "made at the rim", MADE, ("make_rim",), ("attempt_rim",), few=True),
    Measure("three_made", "made beyond the arc", MADE, ("make_three",), ("attempt_three",), few=True),
    Measure("offensive_rebounds", "offensive rebounds", "share of rebounds", ("offensive_rebound",), BOARDS),
    Measure("turnovers", "turnovers", SHARE, TURNOVERS),
    Measure("passes_lost", "passes lost", SHARE, ("turnover_bad_pass",), few=True),
    Measure("stripped", "ball lost off the dribble", SHARE, ("turnover_lost_ball",), few=True),
    Measure("offensive_fouls", "offensive fouls", SHARE, ("turnover_offensive_foul",), few=True),
    Measure("charges", "charges drawn", SHARE, ("charge",), few=True),
    Measure("box_outs", "box-outs held", "share of defensive rebounds", ("box_out",), ("defensive_rebound",), few=True),
    Measure("clock_out", "clock run out", SHARE, ("turnover_clock",), few=True),
    Measure("violations", "violations by the offence", EACH, ("violation_offence",)),
    Measure("violations_against", "violations by the defence", EACH, ("violation_defence",), few=True),
    Measure("fouls", "shooting fouls", SHARE, ("foul_trip",), few=True),
)

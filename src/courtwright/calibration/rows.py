"""What is compared: each row a number computed from the sums, beside its published value, tolerance and source."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.calibration.aggregate import Sums
from courtwright.trial import layout as at

TURNOVERS: Final = tuple(at.EVENTS.index(name) for name in at.EVENTS if name.startswith("turnover_"))


@dataclass(frozen=True, slots=True)
class Target:
    """One published aggregate."""

    key: str
    text: str
    target: float
    tolerance: float
    fitted: bool
    """whether the fit sees it; the others are only reported"""
    evidence: str
    source: str


@cache
def targets() -> tuple[Target, ...]:
    """All rows, in order."""
    table = tomllib.loads(files("courtwright.calibration").joinpath("targets.toml").read_text("utf-8"))
    return tuple(Target(key, **row) for key, row in table.items())


def _share(over: float, under: float) -> float:
    return float(over) / float(under) if under > 0 else 0.0


def values(sums: Sums) -> dict[str, float]:
    """Every row's simulated value by key, and a few more."""
    events = sums.events.sum(axis=0)
    chances, play_s, points, helped = sums.play.sum(axis=0)
    two, three = events[at.ATTEMPT_RIM] + events[at.ATTEMPT_MID], events[at.ATTEMPT_THREE]
    lost = float(events[list(TURNOVERS)].sum())
    boards = events[at.OFFENSIVE_REBOUND] + events[at.DEFENSIVE_REBOUND]
    found = {
        "points": points / chances,
        "turnovers": lost / chances,
        "offensive_rebounds": _share(events[at.OFFENSIVE_REBOUND], boards),
        "two_pointers": _share(events[at.MAKE_RIM] + events[at.MAKE_MID], two),
        "threes": _share(events[at.MAKE_THREE], three),
        "three_share": _share(three, two + three),
        "foul_trips": _share(events[at.FOUL_TRIP], two + three),
        "bad_pass": _share(events[at.TURNOVER_BAD_PASS], lost),
        "lost_ball": _share(events[at.TURNOVER_LOST_BALL], lost),
        "offensive_foul": _share(events[at.TURNOVER_OFFENSIVE_FOUL], lost),
        "clock": _share(events[at.TURNOVER_CLOCK], lost),
        "steals": _share(events[at.STEAL], lost),
        "length_s": play_s / chances,
        "passes": events[at.PASS] / chances,
        "drives": events[at.DRIVE] / chances,
        "beaten": _share(events[at.BEATEN], events[at.DRIVE]),
        "help": helped / chances,
    }
    shots = sums.shots.sum(axis=0)
    for number, family in enumerate(at.FAMILIES):
        found[f"{family}_made"] = _share(shots[number, 1], shots[number, 0])
        found[f"{family}_share"] = _share(shots[number, 0], two + three)
    for share in (10, 50, 90):
        found[f"three_gap_{share}"] = gap_quantile(sums.gaps.sum(axis=0), share / 100)
    return {key: float(value) for key, value in found.items()}


def gap_quantile(bins: NDArray[np.int64], share: float) -> float:
    """Quantile of gaps counted in bins of a tenth of a metre, metres (linear within a bin); 0 without any."""
    below = np.concatenate([[0], np.cumsum(bins)])
    if below[-1] == 0:
        return 0.0
    return float(np.interp(share * below[-1], below, np.arange(len(below)) / 10.0))

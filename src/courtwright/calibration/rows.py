"""What is compared: each row a number computed from the sums, with its published value, source and tolerance."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.calibration.aggregate import Sums
from courtwright.trial import layout as at

TURNOVERS: Final = tuple(at.EVENTS.index(name) for name in at.EVENTS if name.startswith("turnover_"))


def _share(over: float, under: float) -> float:
    return over / under if under > 0 else 0.0


def values(sums: Sums) -> dict[str, float]:
    """Every row's simulated value by key."""
    e = sums.events.sum(axis=0)
    shots = sums.shots.sum(axis=0)
    play = sums.play.sum(axis=0)
    chances = play[0]
    two, three = e[at.ATTEMPT_RIM] + e[at.ATTEMPT_MID], e[at.ATTEMPT_THREE]
    lost = float(e[list(TURNOVERS)].sum())
    boards = e[at.OFFENSIVE_REBOUND] + e[at.DEFENSIVE_REBOUND]
    found = {
        "points": play[2] / chances,
        "turnovers": lost / chances,
        "offensive_rebounds": _share(e[at.OFFENSIVE_REBOUND], boards),
        "two_pointers": _share(e[at.MAKE_RIM] + e[at.MAKE_MID], two),
        "threes": _share(e[at.MAKE_THREE], three),
        "three_share": _share(three, two + three),
        "foul_trips": _share(e[at.FOUL_TRIP], two + three),
        "bad_pass": _share(e[at.TURNOVER_BAD_PASS], lost),
        "lost_ball": _share(e[at.TURNOVER_LOST_BALL], lost),
        "offensive_foul": _share(e[at.TURNOVER_OFFENSIVE_FOUL], lost),
        "clock": _share(e[at.TURNOVER_CLOCK], lost),
        "steals": _share(e[at.STEAL], lost),
        "length_s": play[1] / chances,
        "passes": e[at.PASS] / chances,
        "drives": e[at.DRIVE] / chances,
        "beaten": _share(e[at.BEATEN], e[at.DRIVE]),
        "help": play[4] / chances,
    }
    for number, family in enumerate(at.FAMILIES):
        found[f"{family}_made"] = _share(shots[number, 1], shots[number, 0])
        found[f"{family}_share"] = _share(shots[number, 0], two + three)
    gaps = sums.gaps.sum(axis=0)
    for share in (10, 50, 90):
        found[f"three_gap_{share}"] = gap_quantile(gaps, share / 100)
    return found


def gap_quantile(bins: NDArray[np.int64], share: float) -> float:
    """Quantile of gaps counted in bins of a tenth of a metre, metres (linear within a bin)."""
    total = bins.sum()
    if total == 0:
        return 0.0
    below = np.concatenate([[0], np.cumsum(bins)])
    return float(np.interp(share * total, below, np.arange(len(below)) / 10.0))

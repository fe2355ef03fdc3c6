"""Luck or ignorance: how far single runs scatter by themselves, and how far what is not known moves them.

Run i plays with parameter set i modulo 32. Runs of one set differ by luck alone,
the means of the sets by what is not known besides; a one-way analysis of variance
with random effects (Searle, Casella & McCulloch 1992) tells the two apart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.trial.parameters import DRAWS

LOW, HIGH = 0.1, 0.9
FEWEST_RUNS: Final = 8 * DRAWS
"""Below this the runs of one set are too few to tell luck from what is not known."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spread:
    """What runs scatter by, as deviations from the mean over all of them."""

    luck: Floats
    """of each run from the mean of its parameter set"""
    sets: Floats
    """of each set's mean from that of all, drawn in by what luck adds to it"""
    luck_sd: float
    sets_sd: float
    """0 where the sets differ no more than luck lets them"""

    def middle(self, part: Floats, mean: float) -> tuple[float, float]:
        """Where the middle eight of ten fall."""
        low, high = np.quantile(mean + part, [LOW, HIGH])
        return float(low), float(high)


def ratio_deviations(above: Floats, below: Floats) -> tuple[float, Floats]:
    """A pooled ratio, and how far each run pulls it.

    The mean of the second squares as the ratio does: to first order a ratio of sums
    is a mean of these (the delta method), which makes runs comparable, paired or not.
    """
    ratio = float(above.sum() / below.sum())
    return ratio, (above - ratio * below) / float(below.mean())


def spread_of(deviations: Floats) -> Spread | None:
    """Take deviations of runs apart; nothing where there are too few."""
    runs = len(deviations)
    if runs < FEWEST_RUNS:
        return None
    group = np.arange(runs) % DRAWS
    counts = np.bincount(group, minlength=DRAWS).astype(np.float64)
    means = np.bincount(group, weights=deviations, minlength=DRAWS) / counts
    luck = deviations - means[group]
    within = float((luck**2).sum() / (runs - DRAWS))
    between = float((counts * (means - deviations.mean()) ** 2).sum() / (DRAWS - 1))
    usual_count = (runs - float((counts**2).sum()) / runs) / (DRAWS - 1)
    sets_var = max(0.0, (between - within) / usual_count)
    kept = math.sqrt(sets_var / (sets_var + within / usual_count)) if sets_var > 0 else 0.0
    return Spread(luck, kept * (means - deviations.mean()), math.sqrt(within), math.sqrt(sets_var))


def mean_error(deviations: Floats) -> float:
    """Standard error of the mean over these runs: luck alone where it can be told, else everything."""
    spread = spread_of(deviations)
    scatter = spread.luck_sd if spread else float(deviations.std(ddof=1)) if len(deviations) > 1 else math.inf
    return scatter / math.sqrt(len(deviations))

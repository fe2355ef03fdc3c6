"""Streaks: whether hits follow hits more often than the order by chance would have it.

In a short row of tries the share of hits after hits lies *below* the share of hits by chance alone (Miller & Sanjurjo
2018; Gilovich, Vallone & Tversky 1985 saw 46 % after three hits, against 52 % overall). So what was seen is held
against all orders of the same hits, never against the share itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import WordError
from courtwright.review.intervals import Interval
from courtwright.review.rates import LEVEL

DRAWS: Final = 4000
MOST_COUNTED: Final = 20
"""Longest row of which every outcome is counted."""


class Runs(NamedTuple):
    """The runs test."""

    runs: int
    expected: float
    sd: float
    z: float
    p: float
    """two-sided, by the normal approximation"""


def runs_test(hits: Sequence[bool]) -> Runs:
    """Runs of equal outcomes against those by chance; raises `WordError` where all are alike.

    Source: Wald & Wolfowitz 1940.
    """
    told = np.asarray(hits, bool)
    made, missed = int(told.sum()), int((~told).sum())
    if not made or not missed:
        raise WordError("a row of hits alone, or of misses alone, has no order to test")
    runs = int((told[1:] != told[:-1]).sum()) + 1
    twice, count = 2 * made * missed, made + missed
    expected = twice / count + 1
    sd = math.sqrt(twice * (twice - count) / (count * count * (count - 1)))
    z = (runs - expected) / sd if sd else 0.0
    return Runs(runs, expected, sd, z, math.erfc(abs(z) / math.sqrt(2)))


def share_after(hits: NDArray[np.bool_], before: int = 1) -> NDArray[np.float64]:
    """Share of hits right after so many hits in a row, of each row of (n, tries); nan where there was none."""
    tries = hits.shape[1]
    after = np.ones((len(hits), max(0, tries - before)), np.bool_)
    for back in range(before):
        after &= hits[:, back : tries - before + back]
    of = after.sum(axis=1)
    made = (after & hits[:, before:]).sum(axis=1)
    return np.where(of > 0, made / np.maximum(of, 1), np.nan)


def expected_after(tries: int, before: int = 1, share: float = 0.5) -> float:
    """The mean share of hits after hits in a row of tries by chance, rows without such a try left out.

    All outcomes are counted, for up to `MOST_COUNTED` tries. Source: Miller & Sanjurjo 2018.
    """
    if not before < tries <= MOST_COUNTED:
        raise WordError(f"{tries} tries cannot be counted through; use {before + 1} to {MOST_COUNTED}")
    rows = (np.arange(2**tries)[:, None] >> np.arange(tries) & 1).astype(bool)
    made = rows.sum(axis=1)
    weight = share**made * (1 - share) ** (tries - made)
    after = share_after(rows, before)
    known = ~np.isnan(after)
    return float(np.average(after[known], weights=weight[known]))


@dataclass(frozen=True, slots=True)
class Streak:
    """Hits after hits as seen, and in the orders by chance of the same hits."""

    seen: float
    by_chance: float
    range: Interval
    """of nine in ten orders"""
    p: float
    """share of orders, the one seen among them, that are at least as streaky"""


def streak(hits: Sequence[bool], before: int = 1, *, draws: int = DRAWS, seed: int = 0) -> Streak | None:
    """How streaky a row of tries is; None where no try came after so many hits, or all orders are alike."""
    told = np.asarray(hits, bool)
    seen = float(share_after(told[None, :], before)[0]) if len(told) > before else math.nan
    if math.isnan(seen) or told.all():
        return None
    rng = np.random.default_rng(seed)
    shares = share_after(rng.permuted(np.tile(told, (draws, 1)), axis=1), before)
    shares = shares[~np.isnan(shares)]
    low, high = np.quantile(shares, [(1 - LEVEL) / 2, (1 + LEVEL) / 2])
    as_high = int((shares >= seen - 1e-12).sum())
    return Streak(seen, float(shares.mean()), Interval(float(low), float(high)), (as_high + 1) / (len(shares) + 1))

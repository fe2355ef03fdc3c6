"""Strength from results of two against two, or team against team: Bradley and Terry's model.

The odds that one beats another are the ratio of their worths; being at home may
multiply them. Fitted by Newton's method. Without a prior it can be fitted only if every group
of sides has beaten somebody outside it (Hunter 2004); with one it always can.
Source: Bradley & Terry 1952; Agresti 2002, ch. 10.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit, gammaln, xlogy

from courtwright.errors import WordError

STEPS: Final = 60
SETTLED: Final = 1e-10
Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]


class Meeting(NamedTuple):
    """Results of two sides at the first one's place (either order where there is none)."""

    home: str
    away: str
    home_wins: float
    away_wins: float
    """a tie is half a win of either"""


@dataclass(frozen=True, slots=True)
class Paired:
    """Log-worths against the first side, whose own is 0, or against the group's middle where there is a prior."""

    sides: tuple[str, ...]
    ability: Vector
    """(sides,)"""
    covariance: Matrix
    """(sides, sides)"""
    home: float
    """log-odds of being at home; 0 where it was not asked for"""
    home_se: float
    deviance: float
    log_likelihood: float
    free: int
    """degrees of freedom of the deviance"""

    def worths(self) -> dict[str, float]:
        """Worths that sum to 1."""
        worth = np.exp(self.ability)
        return dict(zip(self.sides, (float(share) for share in worth / worth.sum()), strict=True))

    def above(self, one: str, other: str) -> float:
        """Probability that the first is stronger, by the normal approximation."""
        a, b = self.sides.index(one), self.sides.index(other)
        of_both = self.covariance
        sd = math.sqrt(of_both[a, a] + of_both[b, b] - 2 * of_both[a, b])
        return NormalDist().cdf(float(self.ability[a] - self.ability[b]) / sd)


def paired(meetings: Sequence[Meeting], *, home: bool = False, prior_sd: float | None = None) -> Paired:
    """Fit the model; raises `WordError` where the results do not settle it and no prior is given."""
    held = [one for one in meetings if one.home_wins + one.away_wins]
    sides = tuple(dict.fromkeys(name for one in held for name in (one.home, one.away)))
    if prior_sd is None and not _settled(sides, held):
        raise _too_early()
    rows = np.array([[*((name == one.home) - (name == one.away) for name in sides), home] for one in held], float)
    won = np.array([one.home_wins for one in held], float)
    of = won + np.array([one.away_wins for one in held], float)
    # without a prior the first side's own worth is 0, and so is home where it is not asked for
    left_out = {*([0] if prior_sd is None else []), *([] if home else [len(sides)])}
    kept = [column for column in range(len(sides) + 1) if column not in left_out]
    best, spread = _newton(rows[:, kept], won, of, 0.0 if prior_sd is None else prior_sd**-2.0)
    effects, covariance = np.zeros(len(sides) + 1), np.zeros((len(sides) + 1, len(sides) + 1))
    effects[kept], covariance[np.ix_(kept, kept)] = best, spread
    fitted, seen = _log_likelihood(won, of, expit(rows @ effects)), _log_likelihood(won, of, won / of)
    return Paired(
        sides,
        effects[:-1],
        covariance[:-1, :-1],
        float(effects[-1]),
        math.sqrt(covariance[-1, -1]),
        2 * (seen - fitted),
        fitted,
        len(held) - len(kept),
    )


def _log_likelihood(won: Vector, of: Vector, share: Vector) -> float:
    ways = gammaln(of + 1) - gammaln(won + 1) - gammaln(of - won + 1)
    return float((ways + xlogy(won, share) + xlogy(of - won, 1 - share)).sum())


def _newton(rows: Matrix, won: Vector, of: Vector, pull: float) -> tuple[Vector, Matrix]:
    """Where the penalised likelihood is highest, and the inverse of its curvature there."""
    best = np.zeros(rows.shape[1])
    for _ in range(STEPS):
        share = expit(rows @ best)
        slope = rows.T @ (won - of * share) - pull * best
        curve = rows.T @ (rows * (of * share * (1 - share))[:, None]) + pull * np.eye(len(best))
        try:
            step = np.linalg.solve(curve, slope)
        except np.linalg.LinAlgError:
            break
        best = best + step
        if np.abs(step).max(initial=0.0) < SETTLED:
            return best, np.asarray(np.linalg.inv(curve))
    raise _too_early()


def _too_early() -> WordError:
    return WordError("it is too early: some have won, or lost, every meeting with the rest; play more, or give a prior")


def _settled(sides: Sequence[str], meetings: Sequence[Meeting]) -> bool:
    """Whether wins lead from every side to every other."""
    beaten: dict[str, set[str]] = {name: set() for name in sides}
    for one in meetings:
        beaten[one.home] |= {one.away} if one.home_wins else set()
        beaten[one.away] |= {one.home} if one.away_wins else set()
    backwards = {name: {other for other in sides if name in beaten[other]} for name in sides}
    return bool(sides) and all(len(_reached(sides[0], ways)) == len(sides) for ways in (beaten, backwards))


def _reached(first: str, ways: dict[str, set[str]]) -> set[str]:
    known, new = {first}, {first}
    while new:
        new = set().union(*(ways[name] for name in new)) - known
        known |= new
    return known

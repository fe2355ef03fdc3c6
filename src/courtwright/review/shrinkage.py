"""What a player's share is likely to be, with what the group is known to do.

Each player's true share is drawn from the group's Beta distribution with mean
``mu`` and likeness ``rho`` (the correlation of two tries of one player; small
where players are much alike). Both are unknown too: `MOST_ALIKE` says what is
believed of ``rho`` beforehand, and every ``mu`` is as likely as any other. The
posterior is worked out on a grid that closes in on where it lies; a
player's share is then drawn from it, so that what is not known of
the group widens every interval.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betaln

from courtwright.errors import WordError
from courtwright.review.intervals import Interval

MOST_ALIKE: Final = 9.0
"""Before anything is seen rho is Beta(1, 9): at a share of one half, players differ by a standard deviation of .16 or
less more often than not. A guess; the simulation-based test shows that intervals are right if it is."""
DRAWS: Final = 4000
CELLS: Final = 32
"""of the grid, either way"""
CLOSER: Final = 4
"""times the grid closes in"""
LEAST_WEIGHT: Final = 1e-7
"""Rows and columns of the grid with less are left out."""

Vector = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Group:
    """Draws from the posterior of a group's shares."""

    mean: Vector
    """(draws,) the group's mean share"""
    alike: Vector
    """(draws,) rho"""
    shares: Vector
    """(players, draws)"""

    def interval(self, player: int, level: float = 0.9) -> Interval:
        """Equal-tailed interval of a player's share."""
        tail = (1 - level) / 2
        low, high = np.quantile(self.shares[player], [tail, 1 - tail])
        return Interval(float(low), float(high))

    def above(self, player: int, other: int) -> float:
        """Probability that a player's share is above another's."""
        return float(np.mean(self.shares[player] > self.shares[other]))


def likeness(spread: Vector) -> Vector:
    """Quantiles of the prior of rho."""
    return np.asarray(-np.expm1(np.log1p(-spread) / MOST_ALIKE))


def shrunk(hits: ArrayLike, of: ArrayLike, *, draws: int = DRAWS, seed: int = 0) -> Group:
    """The posterior of a group's shares, given hits and tries of each player (no tries are allowed).

    Raises `WordError` where hits and tries do not fit. Source of the model: Gelman et al. 2013, ch. 5.
    """
    made, tries = np.asarray(hits, float), np.asarray(of, float)
    if made.shape != tries.shape or np.any(made < 0) or np.any(made > tries):
        raise WordError("every player needs hits and tries, and no more hits than tries")
    middles, sides, weights = _closed_in(made, tries)
    rng = np.random.default_rng(seed)
    picked = np.stack(np.divmod(rng.choice(weights.size, draws, p=weights.ravel()), CELLS))
    ways = zip(middles, sides, picked, strict=True)
    at = [middle[index] + side * (rng.random(draws) - 0.5) for middle, side, index in ways]
    mean, alike = at[0], likeness(at[1])
    strength = (1 - alike) / alike
    shares = rng.beta(mean * strength + made[:, None], (1 - mean) * strength + (tries - made)[:, None])
    return Group(mean, alike, shares)


def _closed_in(made: Vector, tries: Vector) -> tuple[list[Vector], list[float], Vector]:
    """Middles and widths of the cells both ways, where the prior is even, and the weights of the cells."""
    span = [(0.0, 1.0), (0.0, 1.0)]
    cells = np.arange(CELLS, dtype=np.float64) + 0.5
    for _ in range(CLOSER):
        sides = [(high - low) / CELLS for low, high in span]
        middles = [low + side * cells for (low, _), side in zip(span, sides, strict=True)]
        weights = _weights(made, tries, middles[0][:, None], likeness(middles[1])[None, :])
        span = [_kept(weights.sum(axis=1 - way), middles[way], sides[way]) for way in (0, 1)]
    return middles, sides, weights


def _weights(made: Vector, tries: Vector, mean: Vector, alike: Vector) -> Vector:
    strength = (1 - alike) / alike
    a, b = mean * strength, (1 - mean) * strength
    rows, times = np.unique(np.stack([made, tries], axis=1), axis=0, return_counts=True)
    log = sum(count * (betaln(a + k, b + n - k) - betaln(a, b)) for (k, n), count in zip(rows, times, strict=True))
    weights = np.exp(log - np.max(log))
    return np.asarray(weights / weights.sum())


def _kept(weight: Vector, middle: Vector, side: float) -> tuple[float, float]:
    """The span of cells that matter, a cell more at either end."""
    at = np.flatnonzero(weight > LEAST_WEIGHT)
    return max(0.0, float(middle[at[0]]) - 1.5 * side), min(1.0, float(middle[at[-1]]) + 1.5 * side)

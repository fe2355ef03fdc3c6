"""Bayesian ridge regression in closed form: effects with known kinds of prior and one spread that is not known.

Outcomes are ``y = X b + e`` with ``e`` normal of variance ``s²``. Each effect has a normal prior of mean 0 and a
standard deviation given in units of ``s``; columns marked ``free`` share one, the spread, over which the posterior is
summed on a grid. ``s²`` is inverse-gamma beforehand. Source: Gelman et al. 2013, ch. 14; of the use for players
Rosenbaum 2004 and Sill 2010.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]

SPREADS: Final = np.geomspace(0.01, 0.6, 16)
"""Spread of players' effects in units of what one possession varies by."""
USUAL_SPREAD: Final = 0.15
"""Scale of the half-normal prior of the spread. A guess: of two players in three, one adds less than a sixth of a point
a possession."""
SHAPE, SCALE = 2.0, 2.0
"""of the inverse-gamma prior of ``s²``, in points²"""
DRAWS: Final = 4000


@dataclass(frozen=True, slots=True)
class Posterior:
    """Draws of the effects and of what is left to chance."""

    effects: Matrix
    """(draws, columns)"""
    noise_sd: Vector
    """(draws,)"""
    spread: Vector
    """(draws,) of the free columns, in units of the noise"""
    weights: Vector
    """(spreads,) posterior of the grid"""


def spread_prior() -> Vector:
    """(spreads,) chances of the grid beforehand."""
    cells = np.gradient(SPREADS)
    weights = cells * np.exp(-0.5 * (SPREADS / USUAL_SPREAD) ** 2)
    return np.asarray(weights / weights.sum())


def fit(
    rows: Matrix, outcome: Vector, known_sd: Vector, free: NDArray[np.bool_], *, draws: int = DRAWS, seed: int = 0
) -> Posterior:
    """The posterior of the effects.

    Parameters
    ----------
    rows
        (n, columns) the design.
    outcome
        (n,) in points, less what is expected beforehand.
    known_sd
        (columns,) prior standard deviation in units of the noise; read where ``free`` is not set.
    """
    squares, sums, total = rows.T @ rows, rows.T @ outcome, float(outcome @ outcome)
    fits = [_at(squares, sums, total, len(outcome), np.where(free, spread, known_sd)) for spread in SPREADS]
    log = np.array([one.log_evidence for one in fits]) + np.log(spread_prior())
    weights = np.exp(log - log.max())
    weights /= weights.sum()
    rng = np.random.default_rng(seed)
    node = np.sort(rng.choice(len(fits), draws, p=weights))
    noise_sd = np.sqrt(np.array([fits[at].scale for at in node]) / rng.gamma(SHAPE + len(outcome) / 2, size=draws))
    effects = np.empty((draws, rows.shape[1]))
    for at in np.unique(node):
        here = node == at
        shifts = rng.standard_normal((int(here.sum()), rows.shape[1])) @ fits[at].root.T
        effects[here] = fits[at].mean + noise_sd[here, None] * shifts
    return Posterior(effects, noise_sd, SPREADS[node], weights)


@dataclass(frozen=True, slots=True)
class _Fit:
    """The conjugate posterior at one spread."""

    mean: Vector
    root: Matrix
    """times its transpose: the covariance, in units of the noise's variance"""
    scale: float
    log_evidence: float


def _at(squares: Matrix, sums: Vector, total: float, count: int, prior_sd: Vector) -> _Fit:
    precision = squares + np.diag(prior_sd**-2.0)
    lower = np.linalg.cholesky(precision)
    mean = ridge(squares, sums, prior_sd)
    root = np.linalg.inv(lower).T
    scale = SCALE + 0.5 * (total - float(mean @ sums))
    log_evidence = -np.log(np.diag(lower)).sum() - np.log(prior_sd).sum() - (SHAPE + count / 2) * np.log(scale)
    return _Fit(mean, root, scale, float(log_evidence))


def ridge(squares: Matrix, sums: Vector, prior_sd: Vector) -> Vector:
    """Solve ``(X'X + diag(1 / sd²)) b = X'y``."""
    return np.asarray(np.linalg.solve(squares + np.diag(prior_sd**-2.0), sums))

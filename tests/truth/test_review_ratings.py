"""Ratings: identities that hold for any ridge regression, and a posterior that is right where its prior is.

Sources: the normal equations; simulation-based calibration, Talts et al. 2018. No published table small enough to
check by was found (Rosenbaum 2004, Sill 2010 print none).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chi2, chisquare

from courtwright.review.ridge import SCALE, SHAPE, SPREADS, Matrix, fit, ridge, spread_prior

KEPT, BINS = 99, 10


def sides(rng: np.random.Generator, possessions: int = 200, players: int = 8) -> Matrix:
    """Three against three: 1 for an attacker, −1 for a defender."""
    rows = np.zeros((possessions, players))
    for row in rows:
        on = rng.permutation(players)[:6]
        row[on[:3]], row[on[3:]] = 1, -1
    return rows


@pytest.mark.parametrize("pull", [0.1, 1.0, 10.0])
def test_it_solves_the_same_as_least_squares_with_rows_added(pull: float) -> None:
    """Ridge is least squares on the data with a row of √λ for each column and 0 as its outcome."""
    rng = np.random.default_rng(1)
    rows, points = sides(rng), rng.normal(size=200)
    longer = np.concatenate([rows, np.sqrt(pull) * np.eye(8)])
    expected = np.linalg.lstsq(longer, np.concatenate([points, np.zeros(8)]))[0]
    ours = ridge(rows.T @ rows, rows.T @ points, np.full(8, pull**-0.5))
    assert ours == pytest.approx(expected)
    assert abs(ours.sum()) < 1e-9  # equal sides: what one side gains the other loses


def test_two_who_always_play_together_are_level() -> None:
    rng = np.random.default_rng(2)
    rows = sides(rng)
    rows[:, 1] = rows[:, 0]
    ours = ridge(rows.T @ rows, rows.T @ rng.normal(size=200), np.full(8, 0.5))
    assert ours[0] == pytest.approx(ours[1])


def test_little_pull_is_least_squares_and_much_is_nothing() -> None:
    rng = np.random.default_rng(3)
    rows, points = sides(rng), rng.normal(size=200)
    squares, sums = rows.T @ rows, rows.T @ points
    assert ridge(squares, sums, np.full(8, 1e4)) == pytest.approx(np.linalg.lstsq(rows, points)[0], abs=1e-4)
    assert ridge(squares, sums, np.full(8, 1e-6)) == pytest.approx(np.zeros(8), abs=1e-6)


def test_ranks_of_the_truth_among_draws_are_even() -> None:
    """Of the level, two players and the noise, over 400 truths drawn from the prior."""
    rng = np.random.default_rng(5)
    known_sd, free = np.array([0.5, *np.ones(8)]), np.array([False, *([True] * 8)])
    ranks = []
    for seed in range(400):
        rows = np.concatenate([np.ones((60, 1)), sides(rng, 60)], axis=1)
        spread = rng.choice(SPREADS, p=spread_prior())
        noise = np.sqrt(SCALE / rng.gamma(SHAPE))
        effects = noise * rng.normal(size=9) * np.where(free, spread, known_sd)
        told = fit(rows, rows @ effects + noise * rng.normal(size=60), known_sd, free, draws=KEPT, seed=seed)
        drawn = np.column_stack([told.effects[:, :3], told.noise_sd])
        ranks.append((drawn < np.array([*effects[:3], noise])).sum(axis=0))
    for of_one in np.array(ranks).T:
        counts = np.histogram(of_one, bins=BINS, range=(0, KEPT + 1))[0]
        assert chisquare(counts).statistic < chi2.ppf(0.999, BINS - 1), counts

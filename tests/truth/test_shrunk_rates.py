"""Shares shrunk to the group: the posterior is right where its prior is, and it does what Efron & Morris showed.

Sources: simulation-based calibration, Talts et al. 2018; Efron & Morris 1975 and 1977 (numbers from memory).
"""

from __future__ import annotations

import numpy as np
from scipy.stats import beta, chi2, chisquare, kstest
from tests.truth.test_shrinkage import AT_BAT, HITS, SEASON, SHARE, error

from courtwright.review.rates import rates
from courtwright.review.shrinkage import MOST_ALIKE, likeness, shrunk

SIMULATIONS, KEPT, BINS = 400, 99, 10


def test_ranks_of_the_truth_among_draws_are_even() -> None:
    """Of the group's mean, its likeness and a player with many, few and no tries."""
    rng = np.random.default_rng(3)
    ranks = []
    for seed in range(SIMULATIONS):
        tries = np.array([0, 3, 40, *rng.integers(1, 60, size=5)])
        mean, alike = rng.random(), rng.beta(1, MOST_ALIKE)
        strength = (1 - alike) / alike
        share = rng.beta(mean * strength, (1 - mean) * strength, size=len(tries))
        group = shrunk(rng.binomial(tries, share), tries, draws=KEPT, seed=seed)
        drawn = np.stack([group.mean, group.alike, *group.shares[:3]])
        ranks.append((drawn < np.array([mean, alike, *share[:3]])[:, None]).sum(axis=1))
    for of_one in np.array(ranks).T:
        counts = np.histogram(of_one, bins=BINS, range=(0, KEPT + 1))[0]
        assert chisquare(counts).statistic < chi2.ppf(0.999, BINS - 1), counts


def test_the_prior_of_likeness_is_the_one_that_is_named() -> None:
    assert kstest(likeness((np.arange(500) + 0.5) / 500), beta(1, MOST_ALIKE).cdf).statistic < 0.002


def test_few_tries_move_to_the_group_as_batting_averages_did() -> None:
    """Squared error against the rest of the season falls by two thirds (published: .077 to .022)."""
    group = shrunk([int(hits) for hits in HITS], [AT_BAT] * len(HITS))
    likely = group.shares.mean(axis=1)
    assert abs(group.mean.mean() - 0.2654) < 0.01
    assert error(likely) < 0.35 * error(SHARE)
    inside = [group.interval(place).holds(share) for place, share in enumerate(SEASON)]
    assert sum(inside) >= 15


def test_many_tries_speak_for_themselves_and_none_say_what_the_group_does() -> None:
    told = rates({"Ada": (800, 1000), "Bex": (300, 1000), "Cleo": (510, 1000), "Dot": (0, 0)})
    assert abs(told["Ada"].mean - 0.8) < 0.01
    assert told["Dot"].seen is None
    assert told["Dot"].share is None
    assert told["Dot"].likely.low < 0.35
    assert told["Dot"].likely.high > 0.75
    assert list(told) == ["Ada", "Bex", "Cleo", "Dot"]
    assert told["Bex"].to_json()["seen"] == [0.2767, 0.3243]

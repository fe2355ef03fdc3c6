"""The statistics of the review against scipy's own, over drawn data; and what must hold whatever is drawn."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.stats import binomtest, energy_distance, norm, permutation_test

from courtwright.review.effects import by_chance
from courtwright.review.forecast import crps
from courtwright.review.intervals import Interval, clopper_pearson, jeffreys, newcombe, wilson
from courtwright.review.paired import Meeting, paired
from courtwright.review.rates import rates
from courtwright.review.streaks import runs_test, share_after

shares = st.integers(1, 200).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))
levels = st.sampled_from([0.5, 0.8, 0.9, 0.95, 0.99])


@settings(deadline=None)
@given(shares, levels)
def test_intervals_as_scipy_has_them(share: tuple[int, int], level: float) -> None:
    hits, of = share
    told = binomtest(hits, of)
    for ours, method in ((wilson, "wilson"), (clopper_pearson, "exact")):
        theirs = told.proportion_ci(level, method=method)  # type: ignore[arg-type]
        assert ours(hits, of, level) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@given(shares, shares, levels)
def test_intervals_hold_what_was_seen_and_mirror(one: tuple[int, int], two: tuple[int, int], level: float) -> None:
    for interval in (wilson, clopper_pearson, jeffreys):
        low, high = interval(*one, level)
        assert 0 <= low <= one[0] / one[1] <= high <= 1
        assert interval(one[1] - one[0], one[1], level) == pytest.approx((1 - high, 1 - low), abs=1e-9)
    apart = one[0] / one[1] - two[0] / two[1]
    told = newcombe(one, two, level)
    assert Interval(told.low - 1e-12, told.high + 1e-12).holds(apart)


@settings(deadline=None)
@given(st.lists(st.integers(-3, 3), min_size=1, max_size=7))
def test_the_randomisation_test_as_scipy_has_it(apart: list[int]) -> None:
    told = np.array(apart, float)

    def far(pairs: np.ndarray) -> float:
        return float(abs(pairs.sum()))

    if len(apart) > 1 and np.any(told):
        theirs = permutation_test((told,), far, permutation_type="samples", n_resamples=10**6, alternative="greater")
        assert by_chance(told) == pytest.approx(theirs.pvalue)
    assert 0 < by_chance(told) <= 1


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=30), st.floats(-50, 50))
def test_crps_is_half_of_the_squared_energy_distance(draws: list[float], seen: float) -> None:
    assert crps(draws, seen) == pytest.approx(energy_distance(draws, [seen]) ** 2 / 2, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000))
def test_paired_results_as_a_general_optimiser_has_them(seed: int) -> None:
    """The penalised likelihood of a few sides, climbed without its slope."""
    rng = np.random.default_rng(seed)
    names = ("Ada", "Bex", "Cleo", "Dot")
    pairs = [(one, other) for one in range(4) for other in range(4) if one != other]
    won = rng.integers(0, 6, (len(pairs), 2))
    rows = [Meeting(names[a], names[b], *map(float, k)) for (a, b), k in zip(pairs, won, strict=True)]

    def loss(worth: np.ndarray) -> float:
        total = worth @ worth / 2
        for (a, b), (k, rest) in zip(pairs, won, strict=True):
            apart = worth[a] - worth[b] + worth[4]
            total += k * np.logaddexp(0, -apart) + rest * np.logaddexp(0, apart)
        return float(total)

    fit = paired(rows, home=True, prior_sd=1.0)
    best = minimize(loss, np.zeros(5), tol=1e-10)
    place = [fit.sides.index(name) for name in names]
    assert [*fit.ability[place], fit.home] == pytest.approx(list(best.x), abs=1e-3)
    apart = np.zeros(4)
    apart[place[0]], apart[place[1]] = 1, -1
    assert fit.above("Ada", "Bex") == pytest.approx(
        norm.cdf(apart @ fit.ability / np.sqrt(apart @ fit.covariance @ apart))
    )


@settings(max_examples=25, deadline=None)
@given(st.lists(shares, min_size=1, max_size=8), st.integers(0, 3))
def test_what_is_likely_lies_between_the_player_and_the_group(told: list[tuple[int, int]], seed: int) -> None:
    named = {f"P{number}": share for number, share in enumerate(told)}
    for rate in rates(named, seed=seed).values():
        assert 0 <= rate.likely.low <= rate.mean <= rate.likely.high <= 1
    assert rates(named, seed=seed) == rates(named, seed=seed)


@given(st.lists(st.booleans(), min_size=2, max_size=12))
def test_runs_and_hits_after_hits_as_counted_one_by_one(row: list[bool]) -> None:
    after = [hit for before, hit in pairwise(row) if before]
    told = float(share_after(np.array([row]))[0])
    assert np.isnan(told) if not after else told == pytest.approx(sum(after) / len(after))
    if len(set(row)) == 2:
        runs = 1 + sum(one != other for one, other in pairwise(row))
        assert runs_test(row).runs == runs

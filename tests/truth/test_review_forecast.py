"""Forecasts: the score against its closed forms, and verdicts on forecasts that are right, wrong or no use.

Source: Gneiting & Raftery 2007, equation 21 and the closed form for a normal forecast (from memory):
s (z (2 Φ(z) − 1) + 2 φ(z) − 1 / √π).
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest

from courtwright.errors import WordError
from courtwright.review.forecast import crps, last_runs, verdict


@pytest.mark.parametrize(("mean", "sd", "seen"), [(0, 1, 0), (0, 1, 1.5), (10, 3, 4)])
def test_of_a_normal_forecast(mean: float, sd: float, seen: float) -> None:
    z, normal = (seen - mean) / sd, NormalDist()
    exact = sd * (z * (2 * normal.cdf(z) - 1) + 2 * normal.pdf(z) - 1 / math.sqrt(math.pi))
    draws = NormalDist(mean, sd)
    even = [draws.inv_cdf((number + 0.5) / 4000) for number in range(4000)]
    assert crps(even, seen) == pytest.approx(exact, abs=2e-3 * sd)


def test_of_one_number_it_is_the_error_and_of_two_as_by_hand() -> None:
    assert crps([4.0], 7.0) == 3.0
    assert crps([0.0, 2.0], 1.0) == 1 - 0.5 * (0 + 2 + 2 + 0) / 4
    with pytest.raises(WordError):
        crps([], 1.0)


def test_the_simple_forecast_is_the_last_five_runs() -> None:
    told = last_runs([1, 2, 3, 4, 5, 6, 7])
    assert told[0] is None
    assert [list(draws) for draws in told[1:] if draws is not None][-1] == [2, 3, 4, 5, 6]


def seasons(shift: float, runs: int = 40, seed: int = 0) -> str:
    """What is said of forecasts that miss by so much, of runs that differ in what is known beforehand."""
    rng = np.random.default_rng(seed)
    level = rng.normal(20, 5, runs)
    seen = rng.normal(level, 2)
    forecasts = [rng.normal(mean + shift, 2, 200) for mean in level]
    return verdict(forecasts, list(seen), last_runs(list(seen))).said


def test_a_forecast_that_knows_is_better_and_one_that_misses_is_worse() -> None:
    assert seasons(0) == "better"
    assert seasons(12) == "worse"


def test_no_better_is_an_answer_and_few_runs_say_nothing() -> None:
    rng = np.random.default_rng(3)
    seen = list(rng.normal(20, 4, 30))
    forecasts = [rng.normal(20, 4, 5) for _ in seen]
    assert verdict(forecasts, seen, last_runs(seen)).said == "no better"
    assert seasons(0, runs=7) == "too few to say"


def test_coverage_is_near_its_level_for_right_forecasts_and_says_its_range() -> None:
    rng = np.random.default_rng(4)
    seen = list(rng.normal(20, 4, 200))
    told = verdict([rng.normal(20, 4, 500) for _ in seen], seen, last_runs(seen))
    assert told.runs == 199
    assert told.coverage.holds(0.9)
    assert told.to_json()["inside"] == told.inside


def test_a_baseline_without_error_has_no_skill_to_compare() -> None:
    assert verdict([[3.0]] * 3, [3.0] * 3, [[3.0]] * 3).skill is None
    with pytest.raises(WordError):
        verdict([[3.0]], [3.0], [None])
    with pytest.raises(WordError):
        verdict([[3.0]], [], [])

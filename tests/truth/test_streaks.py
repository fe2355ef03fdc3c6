"""Streaks, to published and exactly counted values.

Sources: Miller & Sanjurjo 2018 (5/12 for three tosses of a coin, from memory; the other shares were counted by us in
another way beforehand); the row of 133 shots, 58 made, of a teaching data set: 73 runs, 66.414 expected, standard
deviation 5.650, z 1.166, p .244 by statsmodels 0.15.0.
"""

from __future__ import annotations

import numpy as np
import pytest

from courtwright.errors import WordError
from courtwright.review.streaks import expected_after, runs_test, share_after, streak


@pytest.mark.parametrize(
    ("tries", "before", "expected"),
    [(3, 1, 5 / 12), (4, 1, 17 / 42), (10, 1, 0.4454), (10, 3, 0.3526), (16, 3, 0.3543)],
)
def test_hits_after_hits_are_fewer_by_chance_alone(tries: int, before: int, expected: float) -> None:
    assert expected_after(tries, before) == pytest.approx(expected, abs=6e-5)


def row_of(made: int, missed: int, runs: int) -> list[bool]:
    """Any row with so many hits, misses and runs, beginning with a hit."""
    groups = [-(-runs // 2), runs // 2]
    row: list[bool] = []
    for number in range(runs):
        hit = number % 2 == 0
        first = number < 2
        row += [hit] * ((made - groups[0] + 1 if hit else missed - groups[1] + 1) if first else 1)
    return row


def test_the_runs_test() -> None:
    row = row_of(58, 75, 73)
    assert (sum(row), len(row)) == (58, 133)
    told = runs_test(row)
    assert told.runs == 73
    assert (round(told.expected, 3), round(told.sd, 3), round(told.z, 3), round(told.p, 3)) == (
        66.414,
        5.650,
        1.166,
        0.244,
    )


def test_orders_by_chance_of_a_short_row_centre_below_the_share() -> None:
    """Two hits in three: the orders HHM, HMH, MHH give 1/2, 0 and 1, so the mean is one half, not two thirds."""
    told = streak([True, True, False])
    assert told is not None
    assert told.seen == 0.5
    assert told.by_chance == pytest.approx(0.5, abs=0.03)
    assert told.p == pytest.approx(2 / 3, abs=0.03)


def test_a_streaky_row_is_found_and_a_row_by_chance_seldom_called_one() -> None:
    rng = np.random.default_rng(6)
    streaky = streak([True] * 25 + [False] * 25)
    assert streaky is not None
    assert streaky.p < 0.001
    called = [streak(list(rng.random(60) < 0.45), seed=seed, draws=400) for seed in range(200)]
    assert sum(one is not None and one.p <= 0.05 for one in called) <= 18


def test_rows_that_say_nothing() -> None:
    assert streak([]) is None
    assert streak([True, True, True]) is None
    assert streak([False, False, True]) is None
    assert np.isnan(share_after(np.zeros((1, 4), bool))[0])
    with pytest.raises(WordError):
        runs_test([True, True])
    with pytest.raises(WordError):
        expected_after(40)

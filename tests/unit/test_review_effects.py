"""The schedule, what is left out, and what is still needed."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from courtwright.errors import WordError
from courtwright.review.effects import differences, effect_of, log_evidence, plan, schedule, sequence


@given(st.integers(1, 40), st.sampled_from([2, 4, 6]), st.integers(0, 5))
def test_half_of_every_block_is_with_it(blocks: int, block: int, seed: int) -> None:
    order = schedule(blocks, block=block, seed=seed)
    assert order == schedule(blocks, block=block, seed=seed)
    assert [sum(order[at : at + block]) for at in range(0, len(order), block)] == [block // 2] * blocks


def test_the_order_is_drawn_by_chance() -> None:
    first = schedule(1000)[::2]
    assert 430 < sum(first) < 570


@pytest.mark.parametrize(("blocks", "block"), [(0, 2), (3, 3), (3, 0)])
def test_blocks_that_cannot_be_halved_are_refused(blocks: int, block: int) -> None:
    with pytest.raises(WordError, match="halved"):
        schedule(blocks, block=block)


def test_a_block_that_was_not_finished_or_is_not_half_and_half_is_left_out() -> None:
    points, bound = [2, 0, 3, 3, 0, 2, 3], [True, False, True, True, False, True, True]
    assert differences(points, bound).tolist() == [2.0, 2.0]
    assert differences([2, 0, 1, 1], [True, False, True, False], block=4).tolist() == [1.0]


def test_ends_of_the_sequence_are_where_the_evidence_says_so() -> None:
    apart = np.random.default_rng(3).normal(0.4, 1.5, 120)
    low, high = sequence(apart, 0.1)
    assert low < apart.mean() < high
    for end in (low, high):
        assert log_evidence(apart, 0.1, end) == pytest.approx(math.log(20), abs=1e-3)


def test_few_blocks_rule_nothing_out() -> None:
    assert sequence(np.array([3.0, 3.0]), 0.1) == (-math.inf, math.inf)
    assert sequence(np.array([]), 0.1) == (-math.inf, math.inf)
    told = effect_of([3, 0, 3, 0], [True, False, True, False], plan(0.5, 1.0))
    assert (told.blocks, told.mean, told.told) == (2, 3.0, False)
    assert effect_of([], [], plan(0.5, 1.0)).mean == 0.0


def test_a_large_effect_is_told_before_the_promised_number() -> None:
    planned = plan(0.3, 1.1)
    bound = schedule(100, seed=1)
    told = effect_of([2.0 * on for on in bound], bound, planned)
    assert told.told
    assert told.range.low > 0
    assert told.chance < 0.001


def test_what_is_still_needed() -> None:
    planned = plan(0.5, 1.12)
    assert planned.possessions == planned.blocks * 2
    assert planned.left(planned.possessions - 41, 20) == (41, 3)
    assert planned.left(10_000, 20) == (0, 0)
    assert plan(0.25, 1.12).possessions > 3 * planned.possessions
    assert plan(-0.5, 1.12).blocks == planned.blocks


@pytest.mark.parametrize(("effect", "points_sd"), [(0, 1.1), (0.3, 0), (math.inf, 1.0)])
def test_no_plan_without_an_effect_and_a_spread(effect: float, points_sd: float) -> None:
    with pytest.raises(WordError):
        plan(effect, points_sd)

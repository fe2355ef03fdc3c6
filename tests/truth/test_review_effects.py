"""Effects: the randomisation test against Fisher's, and promises kept in simulation.

Source: Fisher 1935, The Design of Experiments, section 21, Darwin's fifteen pairs of maize (eighths of an inch; from
memory): in 863 of 32,768 ways of the coin the sum would be as high as the one seen, in 1,726 as far from nothing.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import ttest_1samp

from courtwright.review.effects import by_chance, differences, log_evidence, plan, schedule, sequence

MAIZE = np.array([49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48], float)
BAR = np.log(20)


def test_darwins_maize() -> None:
    assert MAIZE.sum() == 314
    assert by_chance(MAIZE) == 1726 / 32768


def test_more_blocks_are_drawn_and_agree_with_the_t_test() -> None:
    """Fisher's own remark: the two agree closely for differences like these."""
    apart = np.random.default_rng(4).normal(0.3, 1.5, 60)
    assert by_chance(apart) == pytest.approx(ttest_1samp(apart, 0).pvalue, abs=0.01)


def test_evidence_against_nothing_is_one_on_average_whatever_the_points() -> None:
    """Over every way the coin could fall the mean of E is at most 1: exactly counted for eight blocks."""
    apart = np.array([3.0, 2.0, 0.0, 1.0, 3.0, 2.0, 2.0, 5.0])
    signs = np.array(np.meshgrid(*[(1.0, -1.0)] * 8)).reshape(8, -1).T
    for reach in (0.05, 0.3, 2.0):
        evidence = [np.exp(log_evidence(apart * flip, reach)) for flip in signs]
        assert np.mean(evidence) <= 1.0
        assert np.max(evidence) > 1.0


def scored(rng: np.random.Generator, bound: list[bool], effect: float) -> list[float]:
    drift = 0.45 + 0.1 * np.sin(np.linspace(0, 4, len(bound)))
    return list(2.0 * (rng.random(len(bound)) < drift + np.array(bound) * effect / 2))


@pytest.mark.parametrize(("effect", "least", "most"), [(0.5, 110, 150), (0.0, 0, 10)])
def test_found_at_the_promised_number_and_not_where_there_is_none(effect: float, least: int, most: int) -> None:
    """Of 150 seasons, with a look every five blocks; `benchmarks/review_effects.py` measures it on thousands."""
    planned, calls = plan(0.5, 1.0), 0
    rng = np.random.default_rng(1)
    for seed in range(150):
        bound = schedule(planned.blocks, seed=seed)
        apart = differences(scored(rng, bound, effect), bound)
        calls += any(log_evidence(apart[:look], planned.reach) > BAR for look in range(5, len(apart) + 5, 5))
    assert least <= calls <= most


def test_the_sequence_holds_the_effect_at_every_look() -> None:
    planned, missed = plan(0.5, 1.0), 0
    rng = np.random.default_rng(2)
    for seed in range(100):
        bound = schedule(planned.blocks, seed=seed)
        apart = differences(scored(rng, bound, 0.5), bound)
        ranges = [sequence(apart[:look], planned.reach) for look in range(10, planned.blocks, 25)]
        missed += not all(one.holds(0.5) for one in ranges)
    assert missed <= 8

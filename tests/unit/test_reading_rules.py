"""Coaches' rules of thumb in a reading: common practice, no source. They emerge; nothing is tuned for them.

The cases are those of the page on readings, where it is also shown how each rule fails.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import reading_rules as rules
from courtwright.reading import Reading, read_moment
from courtwright.reading.estimate import sure_sign
from courtwright.reading.prepare import Worth
from courtwright.reading.result import read_raw
from courtwright.reading.switch import SHARES
from courtwright.vocabulary import Level

every_level = pytest.mark.parametrize("level", list(Level))
FAR_BLOCK = "far block, far corner left"


# --- 1: more than an arm's length at release is open ----------------------------------------------------------------


@every_level
def test_beyond_an_arms_length_more_room_hardly_matters(level: Level) -> None:
    """A metre of room is worth at least two and a half times as much within .85 m as from there to 2 m."""
    smothered, arm, free = (rules.made(level, gap_m) for gap_m in (0.45, 0.85, 2.0))

    assert (arm - smothered) / 0.40 > 2.5 * (free - arm) / 1.15
    assert arm > 0.8 * free


# --- 2: a sound defender set at a normal gap covers two dribbles alone more often than not ---------------------------


@every_level
def test_a_set_defender_holds_the_drive_more_surely_the_bigger_the_gap(level: Level) -> None:
    held = [rules.held(rules.standing(level, gap_m)) for gap_m in (1.2, 1.5, 1.8)]

    assert held[0] > 0.6
    assert held == sorted(held)
    assert held[-1] - held[0] > 0.05


@every_level
def test_an_attacked_closeout_holds_less_than_a_set_defender(level: Level) -> None:
    """Where the rule fails: from 3 m it is even at best."""
    assert rules.held(rules.running(level, 3.0)) < 0.65
    assert rules.held(rules.running(level, 3.0)) < rules.held(rules.standing(level, 1.5)) - 0.25


# --- 3: help on dribble 1, recovering alone, leaves more than an arm's length ---------------------------------------


@every_level
@pytest.mark.parametrize("case", list(rules.CASES))
def test_help_on_dribble_1_leaves_more_than_an_arms_length(case: str, level: Level) -> None:
    reading = rules.running(level, 3.0, case)

    assert reading.over_an_arm(rules.left_gap_m(reading)) == 1


@every_level
def test_grown_helpers_leave_metres(level: Level) -> None:
    """2.6 to 4.6 m for men in the earlier study, 1.6 to 2.0 m for the youngest."""
    gaps = [rules.left_gap_m(rules.running(level, 3.0, case)).mean() for case in rules.CASES]

    assert np.mean(gaps) > (2.2 if level in rules.GROWN else 1.2)


# --- 4: dribble 2 is in time for a helper near the finish -----------------------------------------------------------


@every_level
@pytest.mark.parametrize("case", rules.NEAR)
def test_dribble_2_is_in_time_near_the_finish(case: str, level: Level) -> None:
    row = rules.running(level, 3.0, case).rows(1)[1]

    assert row.leaves == "dribble 2"
    assert row.in_time == "in time"


@every_level
def test_dribble_2_is_late_from_the_far_elbow(level: Level) -> None:
    """Where the rule fails."""
    assert rules.in_time(rules.running(level, 3.0, "far elbow, far wing left")) < 0.5


@pytest.mark.parametrize("level", rules.GROWN)
def test_dribble_3_is_too_late_from_the_far_block(level: Level) -> None:
    assert rules.in_time(rules.running(level, 3.0, FAR_BLOCK), 3) < 0.1


# --- 5: in youth presets never helping costs ------------------------------------------------------------------------


@pytest.mark.parametrize("level", rules.YOUNG)
@pytest.mark.parametrize("case", list(rules.CASES)[1:5])
def test_never_helping_costs_the_young(case: str, level: Level) -> None:
    assert sure_sign(rules.never(rules.running(level, 3.0, case))) == 1


def test_for_grown_men_it_could_go_either_way() -> None:
    """Where the rule fails."""
    assert all(sure_sign(rules.never(rules.running(Level.MEN, 3.0, case))) == 0 for case in rules.CASES)


# --- 6: on a long closeout a pause lets it arrive -------------------------------------------------------------------


@every_level
@pytest.mark.parametrize("from_m", [4.0, 5.0, 6.0])
def test_a_pause_takes_metres_from_four_on(from_m: float, level: Level) -> None:
    gaps = [rules.gap_after(level, from_m, pause_s) for pause_s in (0.0, 0.25, 0.5)]

    assert gaps == sorted(gaps, reverse=True)
    assert gaps[0] - gaps[2] > 0.1 * (from_m - 3.0)


@pytest.mark.parametrize("level", [Level.WOMEN, Level.MEN])
@pytest.mark.parametrize("from_m", [5.0, 6.0])
def test_a_pause_costs_grown_players_points_from_five_on(from_m: float, level: Level) -> None:
    loss = rules.pause_loss(level, from_m)

    assert sure_sign(loss[0.5]) == 1
    assert np.median(loss[1.0]) > 0.1


@every_level
def test_from_three_metres_a_pause_costs_next_to_nothing(level: Level) -> None:
    assert all(abs(np.median(loss)) < 0.05 for loss in rules.pause_loss(level, 3.0).values())


# --- the switch -----------------------------------------------------------------------------------------------------


@every_level
def test_where_the_shooter_is_weak_early_help_is_free(level: Level) -> None:
    curve = rules.running(level, 3.0, FAR_BLOCK).switch(1)
    assert curve is not None
    costs = [float(np.median(cost)) for cost in curve.values()]

    assert costs[0] < 0.01
    assert costs[-1] > 0.1
    assert costs == sorted(costs)


@every_level
def test_it_crosses_about_where_a_three_is_worth_starting_over(level: Level) -> None:
    reading = rules.running(level, 3.0, FAR_BLOCK)
    found, even = reading.crossing(1), reading.break_even
    assert found is not None
    assert even is not None
    assert found.middle is not None
    assert found.low is not None
    assert found.high is not None

    assert found.middle == pytest.approx(even.mean, abs=0.06)
    assert found.low < found.middle < found.high
    assert 0.02 < found.high - found.low < 0.12


def test_the_crossing_moves_with_the_preset() -> None:
    levels = [level for level in Level if level is not Level.U12]  # the lowest lies near the end of the curve
    middles = [crossing_of(rules.running(level, 3.0, FAR_BLOCK)) for level in levels]

    assert middles == sorted(middles)
    assert middles[-1] - middles[0] > 0.04


def test_the_crossing_moves_with_the_points() -> None:
    """Where starting over is dearer the shooter must be better; where a three counts for more he need not be."""
    usual = rules.running(Level.U16, 3.0, FAR_BLOCK)
    worth = usual.setting.worth
    dearer = again(usual, replace(worth, reset=worth.reset + 0.15))
    rim, mid, three = worth.baskets
    richer = again(usual, replace(worth, baskets=(rim, mid, three + 1.0)))

    assert crossing_of(richer) < crossing_of(usual) - 0.03
    assert crossing_of(dearer) > crossing_of(usual) + 0.03


def again(reading: Reading, worth: Worth) -> Reading:
    changed = replace(reading.setting, worth=worth)
    return Reading(changed, read_raw(changed))


def crossing_of(reading: Reading) -> float:
    found = reading.crossing(1)
    assert found is not None
    assert found.middle is not None
    return found.middle


def test_shares_lie_on_the_curve() -> None:
    assert list(SHARES) == sorted(SHARES)
    curve = read_moment(rules.moment_of(rules.CASES[FAR_BLOCK], 1.5), level=Level.MEN, sets=4).switch(1)
    assert curve is not None
    assert tuple(curve) == SHARES

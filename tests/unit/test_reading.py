"""The reading: map, symmetry, directions that must hold, and that the twin agrees."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from courtwright.floor import body as its
from courtwright.floor.movement import drift_s
from courtwright.game.moment import Moment, moment_of
from courtwright.game.starters import starters
from courtwright.reading import full_json, quick_json, read_moment
from courtwright.reading.prepare import level_bodies, parameter_sets, setting
from courtwright.reading.result import Raw, Reading, read_raw
from courtwright.reading.space import CELL_M, space_map, spacing
from courtwright.vocabulary import Level

RIGHT_WING = {"1": (5.0, 5.0), "2": (-6.9, 0.2), "3": (-5.4, 4.6)}
TOWARD = np.array([-5.0, -5.0]) / np.hypot(5.0, 5.0)


def moment(
    gap_m: float = 1.5,
    *,
    closing: float = 0.0,
    helper: tuple[float, float] = (-1.0, 1.5),
    other: tuple[float, float] = (-2.0, 3.0),
    mirror: bool = False,
    held_s: float = 0.0,
) -> Moment:
    """Right wing with the ball, far corner and far wing off it; one man on the ball, two in the lane."""
    on_ball = tuple(np.array(RIGHT_WING["1"]) + TOWARD * gap_m)
    places: dict[str, Any] = {**RIGHT_WING, "X1": on_ball, "X2": helper, "X3": other}
    speed = {"X1": tuple(-TOWARD * closing)}
    sign = -1.0 if mirror else 1.0
    figures = [
        {"figure": figure, "at": [sign * x, y], "moving_m_per_s": [sign * vx, vy]}
        for figure, (x, y) in places.items()
        for vx, vy in [speed.get(figure, (0.0, 0.0))]
    ]
    return Moment.model_validate({"name": "wing", "figures": figures, "ball": "1", "held_s": held_s})


def every(raw: Raw) -> dict[str, np.ndarray[Any, np.dtype[np.float64]]]:
    return dict(vars(raw))


def test_a_still_map_of_equals_is_the_voronoi_diagram() -> None:
    """Equal and still, whoever is nearest is first: cell by cell the nearest-neighbour diagram of SciPy, ties aside."""
    given_ = setting(moment_of(starters()["low-mans-call"]), level=Level.U16, sets=8)
    found = space_map(given_)
    places = given_.scene(compiled=False).here[: len(given_.figures)]
    x = found.left_m + CELL_M * (np.arange(found.columns) + 0.5)
    y = found.end_line_m + CELL_M * (np.arange(found.rows) + 0.5)
    cells = np.array([(across, along) for along in y for across in x])

    found_near, found_owner = cKDTree(places).query(cells, k=2)
    near, owner = np.asarray(found_near), np.asarray(found_owner)

    clear = near[:, 1] - near[:, 0] > 1e-6
    assert clear.mean() > 0.95
    assert np.array_equal(found.owner[clear], owner[clear, 0])


def test_a_moving_player_reaches_the_published_disc() -> None:
    """Fujimura & Sugihara 2005: arrival at t on the circle about x + v e(t) with radius V(t − e(t)), within 1 ms."""
    one = Moment.model_validate(
        {
            "name": "disc",
            "ball": "1",
            "figures": [
                {"figure": "1", "at": [0, 4], "moving_m_per_s": [2.0, -1.0]},
                {"figure": "X1", "at": [6, 10]},
            ],
        }
    )
    given_ = setting(one, level=Level.MEN, sets=8)
    found = space_map(given_)
    top, tau_s = (given_.bodies.mean(axis=0)[0, figure] for figure in (its.TOP, its.TAU))
    for index in range(0, len(found.times_s), 97):
        time_s = found.times_s[index, 0]
        x = found.left_m + CELL_M * (index % found.columns + 0.5)
        y = found.end_line_m + CELL_M * (index // found.columns + 0.5)
        carry = drift_s(time_s, tau_s)
        beyond_m = np.hypot(x - 2.0 * carry, y - 4.0 + 1.0 * carry) - top * (time_s - carry)

        assert abs(beyond_m) <= 0.002


def test_spacing() -> None:
    assert spacing(setting(moment(), level=Level.U16, sets=4))["hull_m2"] > 10
    pair = spacing(setting(moment(), level=Level.U16, sets=4))["pairs"][0]
    assert pair["distance_m"] == round(float(np.hypot(5.0 + 6.9, 4.8)), 2)


@pytest.mark.parametrize("closing", [0.0, 2.5])
def test_the_mirror_gives_the_same_numbers(closing: float) -> None:
    one, other = (
        every(read_raw(setting(moment(2.6, closing=closing, mirror=mirror), level=Level.U16, sets=16)))
        for mirror in (False, True)
    )
    for name, values in one.items():
        assert np.allclose(values, other[name], atol=1e-9), name


def test_the_twin_agrees() -> None:
    given_ = setting(moment(2.6, closing=2.0), level=Level.U18, sets=3)
    compiled, twin = every(read_raw(given_)), every(read_raw(given_, engine="python"))
    for name, values in compiled.items():
        assert np.array_equal(values, twin[name]), name


@settings(max_examples=25)
@given(near=st.floats(0.6, 5.0), farther=st.floats(0.1, 2.0), level=st.sampled_from(Level))
def test_farther_closeouts_leave_more_room_and_better_shots(near: float, farther: float, level: Level) -> None:
    close, far = (
        read_moment(moment(gap, closing=1.5), level=level, sets=16).raw.shot for gap in (near, near + farther)
    )

    # the start of braking is found to 0.1 mm
    assert np.all(far[:, 0] >= close[:, 0] - 3e-4)
    assert np.all(far[:, 1] >= close[:, 1] - 1e-4)


@settings(max_examples=15)
@given(x=st.floats(-5.0, -2.0), y=st.floats(1.0, 6.0), level=st.sampled_from(Level))
def test_leaving_later_is_never_nearer_to_the_finish(x: float, y: float, level: Level) -> None:
    """For helpers more than 2 m from the finish."""
    rows = read_moment(moment(helper=(x, y), other=(-5.0, 7.5)), level=level, sets=16).raw.rows[:, 1]

    assert np.all(np.diff(rows[:, :3, 2], axis=1) >= -1e-9)


def test_a_faster_defender_leaves_less_room() -> None:
    given_ = setting(moment(4.0, closing=1.0), level=Level.U16, sets=16)
    faster = given_.bodies.copy()
    faster[:, 3, its.TOP] += 0.8

    usual, fast = (read_raw(replace(given_, bodies=bodies)).shot[:, 0] for bodies in (given_.bodies, faster))

    assert np.all(fast <= usual + 1e-9)


# --- common practice, no source: these emerge from the physics; nothing is tuned for them


def test_rule_1_more_than_an_arms_length_is_open() -> None:
    """A shooter with more than .85 m at release makes more than one who is smothered, at every level."""
    for level in Level:
        smothered, free = (read_moment(moment(gap), level=level, sets=32).raw.shot[:, 1].mean() for gap in (0.5, 4.5))
        assert free > smothered + 0.02


@pytest.mark.parametrize("level", list(Level))
def test_rule_2_a_set_man_holds_two_dribbles_more_often_than_not(level: Level) -> None:
    held = [read_moment(moment(gap), level=level, sets=64).raw.drive[:, 0].mean() for gap in (1.2, 1.5, 1.8)]

    assert all(share > 0.5 for share in held)
    assert held == sorted(held)


@pytest.mark.parametrize("level", list(Level))
def test_rule_3_help_on_dribble_1_leaves_more_than_an_arms_length(level: Level) -> None:
    reading = read_moment(moment(2.65, closing=2.0), level=level, sets=64)

    assert reading.rows(1)[0].left_gap.mean > 0.85


@pytest.mark.parametrize("level", list(Level))
def test_rule_4_dribble_2_is_in_time_near_the_finish_and_dribble_3_is_not(level: Level) -> None:
    rows = read_moment(moment(2.65, closing=2.0, helper=(-0.6, 1.4)), level=level, sets=64).rows(1)

    assert rows[1].in_time == "in time"
    assert rows[2].rim_gap.mean > rows[1].rim_gap.mean


@pytest.mark.parametrize("level", [Level.U12, Level.U14])
def test_rule_5_never_helping_costs_the_young(level: Level) -> None:
    assert read_moment(moment(2.65, closing=2.0), level=level, sets=64).never_cost().mean() > 0.03


def test_rule_6_a_pause_lets_a_long_closeout_arrive() -> None:
    """Metres from 4 m, points from 5 m."""
    for level in (Level.U14, Level.U16, Level.MEN):
        now = setting(moment(4.6, closing=2.0), level=level, sets=64)
        gaps = [read_raw(now, pause_s=pause_s).shot[:, 0].mean() for pause_s in (0.0, 0.25, 0.5)]
        assert gaps[0] > gaps[1] > gaps[2]
    pauses = read_moment(moment(4.65, closing=2.0), level=Level.MEN, sets=64).pauses()
    assert pauses[0.5].mean() > 0.0


def test_the_switch_turns_with_the_shooter() -> None:
    """Early help is free against a weak shooter and dear against a good one; the cost only rises between."""
    curve = read_moment(moment(2.65, closing=2.0), level=Level.MEN, sets=64).switch(1)

    assert curve is not None
    costs = [cost.mean() for cost in curve.values()]
    assert costs[0] < 0.05
    assert costs[-1] > 0.05
    assert costs == sorted(costs)


def test_a_drag_moves_no_printed_mean_by_a_jump() -> None:
    """5 cm, 3-on-3, 64 sets: no chance or points mean moves by more than .03, over forty random drags."""
    chance = np.random.default_rng(3)
    worst = 0.0
    for _ in range(40):
        helper = (float(chance.uniform(-4, 1)), float(chance.uniform(0.5, 5)))
        gap = float(chance.uniform(0.8, 5))
        angle = chance.uniform(0, 2 * np.pi)
        moved = (helper[0] + 0.05 * np.cos(angle), helper[1] + 0.05 * np.sin(angle))
        one, other = (
            read_moment(moment(gap, closing=1.5, helper=place), level=Level.U16, sets=64).raw
            for place in (helper, moved)
        )
        differences = [
            np.abs(one.passes[:, 1:, [1, 3]].mean(axis=0) - other.passes[:, 1:, [1, 3]].mean(axis=0)).max(),
            np.abs(one.rows[:, 1:, :, :2].mean(axis=0) - other.rows[:, 1:, :, :2].mean(axis=0)).max(),
            np.abs(one.drive[:, [3, 5]].mean(axis=0) - other.drive[:, [3, 5]].mean(axis=0)).max(),
        ]
        worst = max(worst, *differences)

    assert worst <= 0.03


def test_a_beaten_adult_finish_is_worth_the_published_lay_up() -> None:
    """Driving lay-ups in professional 3-on-3: 1.17 points, .585 made (computed from play-by-play); ± .15 allowed."""
    bodies = level_bodies(Level.WOMEN, 6, parameter_sets(64)[0])
    reading = read_moment(moment(0.6, closing=4.5, helper=(-6.0, 8.0), other=(-5.0, 9.0)), bodies=bodies, sets=64)
    drive = reading.raw.drive
    beaten = (drive[:, 3] - drive[:, 0] * reading.setting.worth.reset) / (1 - drive[:, 0])

    assert 1.0 <= float(np.median(beaten)) <= 1.35


@pytest.mark.parametrize("points", ["game", "plain"])
def test_a_reading_is_plain_json(points: str) -> None:
    game = starters()["low-mans-call"]
    reading = read_moment(moment_of(game), game=game if points == "game" else None, sets=16)
    data = full_json(reading)

    assert data["unit"] == ("points per chance" if points == "plain" else reading.unit)
    assert len(data["help"]) == 2
    assert {row["leaves"] for row in data["help"][0]["rows"]} == {"dribble 1", "dribble 2", "dribble 3", "when beaten"}
    assert set(data["sentences"]) == {"shot", "passes", "drive", "never", "help", "pause", "early"}
    assert len(quick_json(reading)["map"]["owner"]) == 60 * 56


def test_one_on_one_has_nobody_to_help() -> None:
    alone = Moment.model_validate(
        {"name": "1v1", "ball": "1", "figures": [{"figure": "1", "at": "top"}, {"figure": "X1", "at": [0, 5.5]}]}
    )
    reading: Reading = read_moment(alone, sets=16)

    assert reading.helpers == []
    assert full_json(reading)["sentences"]["never"] == "There is nobody to help."

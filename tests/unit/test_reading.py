"""The reading as a whole: who guards whom, spacing, points, pauses, and the JSON that comes out."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

import reading_rules as rules
from courtwright.floor.shots import make_chance
from courtwright.game.document import Game
from courtwright.game.moment import Moment, moment_of
from courtwright.game.starters import starters
from courtwright.reading import SETS_RELEASED, full_json, more_json, quick_json, read_moment, sets_for
from courtwright.reading.prepare import setting
from courtwright.reading.result import read_raw
from courtwright.reading.space import attack_share, space_map, spacing
from courtwright.reading.switch import offset_for
from courtwright.vocabulary import Level

Array = NDArray[np.float64]
WING = rules.moment_of(rules.CASES["far block, far corner left"], 2.65, closing=2.0)


def moment(*figures: dict[str, Any], **more: Any) -> Moment:
    return Moment.model_validate({"name": "m", "ball": "1", "figures": list(figures)} | more)


# --- who guards whom ------------------------------------------------------------------------------------------------


def test_of_two_on_the_ball_the_nearer_guards_it_and_the_other_helps() -> None:
    two = moment(
        {"figure": "1", "at": [0, 7]},
        {"figure": "X1", "at": [0, 3], "guards": "1"},
        {"figure": "X2", "at": [0, 5.5], "guards": "1"},
    )
    reading = read_moment(two, sets=8)

    assert [reading.figure(reading.setting.attackers + d) for d in reading.helpers] == ["X1"]
    assert full_json(reading)["sentences"]["early"]["X1"] == "He leaves nobody: 1 has the ball."


def test_a_second_man_on_a_mate_stays_when_the_first_leaves() -> None:
    figures = [
        {"figure": "1", "at": [0, 7]},
        {"figure": "2", "at": [6.9, 0.2]},
        {"figure": "X1", "at": [0, 5.5]},
        {"figure": "X2", "at": [3.0, 1.0], "guards": "2"},
    ]
    one = read_moment(moment(*figures), sets=8)
    both = read_moment(moment(*figures, {"figure": "X3", "at": [6.0, 1.0], "guards": "2"}), sets=8)

    assert np.all(one.raw.rows[:, 1, 0, 3] > 1.5)
    assert np.all(both.raw.rows[:, 1, 0, 3] < 1.2)


def test_a_man_without_a_defender_is_open() -> None:
    free = read_moment(
        moment({"figure": "1", "at": [0, 7]}, {"figure": "2", "at": [6.9, 0.2]}, {"figure": "X1", "at": [0, 5.5]}),
        sets=8,
    )

    assert free.passes()["2"]["gap"].mean > 5.0
    assert free.helpers == []


# --- what the drive does --------------------------------------------------------------------------------------------


def test_a_defender_who_is_not_in_the_way_is_not_gone_round() -> None:
    """Three metres to the side of the drive: it takes no longer than with nobody there."""
    beside = read_moment(
        moment({"figure": "1", "at": [0, 7]}, {"figure": "X1", "at": [3.2, 6.5]}), level=Level.MEN, sets=8
    )
    nobody = read_moment(
        moment({"figure": "1", "at": [0, 7]}, {"figure": "2", "at": [7, 0]}, {"figure": "X2", "at": [6, 0]}),
        level=Level.MEN,
        sets=8,
    )

    assert beside.raw.drive[:, 2] == pytest.approx(nobody.raw.drive[:, 2], abs=0.1)
    assert np.all(beside.raw.drive[:, 0] < 0.5)


def test_held_balls_go_at_once_and_shoot_sooner() -> None:
    fresh, held = (
        read_moment(Moment.model_validate(WING.to_json() | {"held_s": held_s}), sets=8).raw for held_s in (0.0, 2.0)
    )

    assert np.all(held.drive[:, 2] < fresh.drive[:, 2])
    assert np.all(held.shot[:, 0] > fresh.shot[:, 0])


def test_the_man_on_the_ball_can_cut_a_pass_before_and_after_a_pause() -> None:
    """He stands in the lane to 2; waiting does not take him out of it."""
    lane = setting(
        moment(
            {"figure": "1", "at": [0, 7]},
            {"figure": "2", "at": [0, 2]},
            {"figure": "X1", "at": [0, 5.4], "guards": "1"},
            {"figure": "X2", "at": [2, 2], "guards": "2"},
        ),
        level=Level.U16,
        sets=8,
    )
    for pause_s in (0.0, 0.25, 1.0):
        assert np.all(read_raw(lane, pause_s=pause_s).passes[:, 1, 2] > 0.3)


def test_a_pass_over_the_middle_is_safer_the_longer_it_is() -> None:
    def lost(away_m: float) -> float:
        far = moment(
            {"figure": "1", "at": [-6, 7]},
            {"figure": "2", "at": [-6 + away_m, 7]},
            {"figure": "X1", "at": [-6, 5.4]},
            {"figure": "X2", "at": [-6 + away_m / 2, 6.8]},
        )
        return float(read_raw(setting(far, level=Level.U16, sets=16)).passes[:, 1, 2].mean())

    risks = [lost(away_m) for away_m in np.arange(5.0, 10.1, 0.25)]

    assert risks[0] > 0.3
    assert risks[-1] < 0.1
    assert max(abs(one - other) for one, other in pairwise(risks)) < 0.06, "no jump at any length"


# --- points and sets ------------------------------------------------------------------------------------------------


def test_a_games_points_move_the_numbers() -> None:
    game = starters()["low-mans-call"]
    plain, own = (read_moment(moment_of(game), game=points, sets=16) for points in (None, game))

    assert plain.unit == "points per chance"
    assert own.unit != plain.unit
    assert not np.allclose(plain.raw.drive[:, 3], own.raw.drive[:, 3])
    assert np.array_equal(plain.raw.shot[:, :2], own.raw.shot[:, :2]), "metres and chances stay"


def test_a_game_that_counts_no_threes_makes_them_worthless() -> None:
    data = starters()["low-mans-call"].to_json()
    data["points"] = [{"rule": "rim basket", "points": 2}]
    own = read_moment(WING, game=Game.model_validate(data), sets=8)

    assert np.all(own.raw.shot[:, 2] <= own.setting.worth.reset)
    assert own.break_even is None
    assert more_json(own)["break_even"] is None


@pytest.mark.parametrize(
    ("players", "dragging", "sets"), [(6, True, 64), (10, True, 32), (6, False, 200), (10, False, 200)]
)
def test_how_many_sets(players: int, dragging: bool, sets: int) -> None:
    assert sets_for(players, dragging=dragging) == sets
    assert SETS_RELEASED == 200


def test_fewer_sets_say_much_the_same() -> None:
    few, many = (read_moment(WING, sets=sets).raw for sets in (64, 200))

    assert few.rows[:, 1:].mean(axis=0) == pytest.approx(many.rows[:, 1:].mean(axis=0), abs=0.15)
    assert few.drive[:, 3].mean() == pytest.approx(many.drive[:, 3].mean(), abs=0.02)


@pytest.mark.parametrize("share", [0.2, 0.33, 0.45])
def test_the_switch_gives_the_shooter_the_share_it_says(share: float) -> None:
    for slope in (0.9, 1.2):
        offset = offset_for(share, 6.9, slope)
        assert make_chance(6.9, 3.05, 1.0, True, slope, 0.0, 0.0, offset) == pytest.approx(share)


# --- spacing and JSON -----------------------------------------------------------------------------------------------


def test_spacing() -> None:
    said = spacing(setting(WING, level=Level.U16, sets=4))

    assert said["pairs"][0] == {"between": ["1", "2"], "distance_m": round(float(np.hypot(5.0 + 6.9, 5.0 - 0.2)), 2)}
    assert said["hull_m2"] == pytest.approx(0.5 * abs(-11.9 * -0.4 - -10.4 * -4.8), abs=0.01)


def test_the_range_of_the_map_is_that_of_its_sets() -> None:
    """Equals who stand share the floor alike in every set; where one runs, it hangs on how fast they are."""
    still = setting(WING, level=Level.U16, sets=40)
    data = WING.to_json()
    data["figures"][0]["moving_m_per_s"] = [-5.0, 1.0]
    runs = setting(Moment.model_validate(data), level=Level.U16, sets=40)

    assert np.ptp(attack_share(still)) < 0.003  # ties
    assert 0.005 < np.ptp(attack_share(runs)) < 0.1
    for given_ in (still, runs):
        shown = float(np.mean(space_map(given_).owner < given_.attackers))
        assert attack_share(given_).mean() == pytest.approx(shown, abs=0.01)


def test_attackers_on_one_line_span_no_area() -> None:
    line = [{"figure": str(n), "at": [2.0 * n - 4, 6.0]} for n in (1, 2, 3)]

    assert spacing(setting(moment(*line, {"figure": "X1", "at": [0, 4]}), level=Level.U16, sets=4))["hull_m2"] == 0.0


@pytest.mark.parametrize("points", ["game", "plain"])
def test_a_reading_is_plain_json(points: str) -> None:
    game = starters()["low-mans-call"]
    reading = read_moment(moment_of(game), game=game if points == "game" else None, sets=16)
    data = json.loads(json.dumps(full_json(reading), allow_nan=False))

    assert data["unit"] == ("points per chance" if points == "plain" else reading.unit)
    assert len(data["help"]) == 2
    assert {row["leaves"] for row in data["help"][0]["rows"]} == {"dribble 1", "dribble 2", "dribble 3", "when beaten"}
    assert set(data["sentences"]) == {"shot", "passes", "drive", "never", "help", "pause", "early"}
    assert len(quick_json(reading)["map"]["owner"]) == 60 * 56
    assert data["drive"]["dribbles_at_most"] in (1, 2, 3, 4)
    assert data["help"][0]["crossing"]["unit"] == "share of open threes made"
    assert 0.0 < data["attack_first"]["low"] <= data["attack_first"]["high"] < 1.0
    assert data["break_even"] is None or 0.0 < data["break_even"]["mean"] < 1.0


def test_one_on_one_has_nobody_to_help() -> None:
    reading = read_moment(moment({"figure": "1", "at": "top"}, {"figure": "X1", "at": [0, 5.5]}), sets=16)

    assert reading.helpers == []
    assert full_json(reading)["sentences"]["never"] == "There is nobody to help."
    assert more_json(reading)["switch"] == {}

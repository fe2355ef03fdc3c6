"""The game's own answers: hash, places, who guards whom."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from courtwright.game.document import Game
from courtwright.game.read import game_from_json, load_game
from courtwright.game.starters import starters
from courtwright.vocabulary import Cost, Side, Spot

SAMPLE = Path(__file__).parents[1] / "data" / "game-1.json"


def two_on(defenders: dict[str, Any], **guards: str) -> Game:
    """Two attackers, at the left wing and the right wing, and these defenders."""
    attackers = [{"figure": "1", "at": "left wing"}, {"figure": "2", "at": "right wing"}]
    placed = [{"figure": figure, "at": at, "guards": guards.get(figure)} for figure, at in defenders.items()]
    return game_from_json(
        {
            "format": "courtwright.game/1",
            "name": "two",
            "sides": {"offence": 2, "defence": len(defenders)},
            "start": {"placements": attackers + placed, "ball": "1"},
        }
    )


def test_a_file_of_format_1_always_loads() -> None:
    game = load_game(SAMPLE)

    assert game.hash == "b3fc17f3847e4a1cc157888e25411ed2dfd0438faa204bf6c0e43b4cdd53c020", (
        "a stored hash names this content for ever"
    )
    assert game.start.variants[0].placements[0].vary_m == 1
    joined_later = {
        "rotation",
        "actions",
    }  # the sample stays as it was, so that its hash proves that old games keep theirs
    shown = json.loads(SAMPLE.read_text("utf-8")).keys()
    assert shown | joined_later == Game.model_fields.keys(), "the sample shows every field there was"


def test_hash_sees_every_change() -> None:
    game = load_game(SAMPLE)
    data = game.to_json()
    changed = [
        data | {"name": "other"},
        data | {"live": "start"},
        data | {"constraints": list(reversed(data["constraints"]))},
        data | {"ending": data["ending"] | {"reset_s": 12.6}},
    ]

    hashes = {game_from_json(item).hash for item in changed}

    assert len(hashes | {game.hash}) == 5


def test_hash_is_blind_to_the_sign_of_zero_and_the_point_of_whole_numbers() -> None:
    plain = two_on({"X1": [0, 2]})
    assert two_on({"X1": [-0.0, 2.0]}).hash == plain.hash
    assert two_on({"X1": [0, 2.01]}).hash != plain.hash


def test_a_variant_moves_some_figures_and_then_mirrors_all() -> None:
    game = load_game(SAMPLE)

    plain, other = game.placed_m(), game.placed_m(0)

    block_x_m, block_y_m = game.floor.spot_m(Spot.parse("left block"))
    assert other["3"] == (-block_x_m, block_y_m)
    assert other["X1"] == (-plain["X1"][0], plain["X1"][1])
    assert (game.vary_m()["3"], game.vary_m(0)["3"], game.vary_m(0)["1"]) == (0, 1, 0.5)


def test_mirroring_leaves_no_minus_zero() -> None:
    game = starters()["two-to-read"]
    assert str(game.placed_m(0)["X1"][0]) == "0.0"


@pytest.mark.parametrize(
    ("defenders", "said", "expected"),
    [
        ({"X1": "left elbow", "X2": "right elbow"}, {}, {"X1": "1", "X2": "2"}),
        ({"X1": "left elbow", "X2": "right elbow"}, {"X1": "2"}, {"X1": "2", "X2": "1"}),
        ({"X1": "right elbow"}, {}, {"X1": "1"}),
        ({"X1": "left elbow", "X2": "right elbow", "X3": "right block"}, {}, {"X1": "1", "X2": "2", "X3": "2"}),
        ({"X1": "left elbow", "X2": "left block", "X3": "nail"}, {"X2": "1"}, {"X1": "2", "X2": "1", "X3": "1"}),
    ],
)
def test_guards_as_said_then_by_number_then_the_nearest_left(
    defenders: dict[str, Any], said: dict[str, str], expected: dict[str, str]
) -> None:
    assert two_on(defenders, **said).guards() == expected


def test_words_of_constraints_and_points() -> None:
    game = load_game(SAMPLE)
    dribbles, jump_stop = game.constraints

    assert dribbles.text == "2: 2 dribbles at most"
    assert (dribbles.costs, jump_stop.costs) == (Cost.AGAIN, Cost.TURNOVER)
    assert [(rule.text, rule.side) for rule in game.points] == [("any basket", Side.OFFENCE), ("stop", Side.DEFENCE)]

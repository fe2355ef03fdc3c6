"""The three games to start from, as a coach would look at them."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from courtwright.game.check import problems_of
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Form, Game, Step
from courtwright.game.points import POINT_RULES
from courtwright.game.read import apply_step, load_game
from courtwright.game.starters import ENDING, starters

EXAMPLES = Path(__file__).parents[2] / "examples"
STARTERS = pytest.mark.parametrize("game", starters().values(), ids=starters())
ON_BALL_M = {"low-mans-call": 1.2, "four-metre-closeout": 4.0, "two-to-read": 1.25}


def test_there_are_three_of_different_size() -> None:
    assert sorted((game.sides.offence, game.sides.defence) for game in starters().values()) == [(1, 1), (2, 2), (3, 3)]


def test_examples_are_the_same_games() -> None:
    examples = {path.name.removesuffix(ENDING): load_game(path) for path in EXAMPLES.glob(f"*{ENDING}")}
    assert examples == starters()


@STARTERS
def test_is_complete(game: Game) -> None:
    assert game.purpose
    assert game.question
    assert len(game.cues) == 2
    assert game.cautions
    assert game.easier
    assert game.harder
    assert any(variant.mirror for variant in game.start.variants)
    assert [form.players for form in game.forms] == list(range(6, 13))


@STARTERS
def test_is_mostly_played_by_the_trial(game: Game) -> None:
    played = [CONSTRAINTS[item.rule].played for item in game.constraints]
    assert sum(played) >= 2
    assert sum(played) >= len(played) - 1
    assert all(POINT_RULES[item.rule].played for item in game.points)


@STARTERS
def test_defenders_stand_between_their_man_and_the_basket(game: Game) -> None:
    for variant in (None, *range(len(game.start.variants))):
        places_m = game.placed_m(variant)
        for defender, man in game.guards().items():
            to_basket_m = math.hypot(*places_m[man])
            assert math.hypot(*places_m[defender]) < to_basket_m
            # nearer the basket is not enough: he must stand on the basket's side of his man, within 60 degrees
            toward = math.dist(places_m[defender], places_m[man])
            along = (to_basket_m**2 + toward**2 - math.hypot(*places_m[defender]) ** 2) / (2 * to_basket_m * toward)
            assert along > 0.5, (variant, defender)


@pytest.mark.parametrize("key", starters())
def test_gap_to_the_first_attacker(key: str) -> None:
    game = starters()[key]
    for variant in (None, *range(len(game.start.variants))):
        places_m = game.placed_m(variant)
        assert math.dist(places_m["X1"], places_m["1"]) == pytest.approx(ON_BALL_M[key], abs=0.05)


@STARTERS
def test_attackers_are_spaced(game: Game) -> None:
    for variant in (None, *range(len(game.start.variants))):
        places_m = game.placed_m(variant)
        attackers = [places_m[figure] for figure in game.sides.figures if figure.isdecimal()]
        pairs = [(one, other) for index, one in enumerate(attackers) for other in attackers[index + 1 :]]
        assert all(math.dist(one, other) > 3.5 for one, other in pairs), "a pass apart (common practice, no source)"


@STARTERS
def test_every_step_and_form_works_and_changes_the_game_it_says(game: Game) -> None:
    bare = apply_step(game, game.forms[0].model_copy(update={"change": {}}))
    steps: list[Step | Form] = [*game.easier, *game.harder, *game.forms]
    for step in steps:
        changed = apply_step(game, step)
        assert problems_of(changed) == []
        assert (changed.hash != bare.hash) == bool(step.change), step.say
    for form in game.forms:
        needed = form.baskets * (len(apply_step(game, form).sides.figures) - game.sides.coach)
        assert needed <= form.players


@STARTERS
def test_text_reads_like_a_coach(game: Game) -> None:
    said = json.dumps(game.to_json(), ensure_ascii=False)
    assert "!" not in said
    sentences = [game.purpose, *game.cues, *game.cautions, *(step.say for step in (*game.easier, *game.harder))]
    assert all(sentence.endswith(".") for sentence in sentences)
    assert game.question.endswith("?")

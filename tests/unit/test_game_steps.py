"""Easier, harder and other forms of a game."""

from __future__ import annotations

import pytest

from courtwright.errors import DocumentError
from courtwright.game.document import Form, Help, Step
from courtwright.game.read import apply_step
from courtwright.game.starters import starters

GAME = starters()["low-mans-call"]


def test_a_step_changes_what_it_says_and_nothing_else() -> None:
    changed = apply_step(GAME, Step(say="Stay home.", change={"help": "never", "ending": {"reset_s": 5}}))

    assert (changed.help, changed.ending.reset_s) == (Help.NEVER, 5)
    assert changed.ending.foul is GAME.ending.foul
    same = {"name", "purpose", "court", "sides", "start", "entry", "live", "constraints", "points", "rota", "finish"}
    assert changed.model_dump(include=same) == GAME.model_dump(include=same)


def test_null_takes_a_part_back_to_what_it_is_if_left_out() -> None:
    changed = apply_step(GAME, Step(say="To seven, no clock.", change={"finish": {"minutes": None, "points": 7}}))
    assert (changed.finish.minutes, changed.finish.points) == (None, 7)


def test_a_changed_form_has_no_forms() -> None:
    changed = apply_step(GAME, Form(players=8))
    assert (changed.easier, changed.harder, changed.forms) == ((), (), ())


def test_a_step_that_only_says_something_leaves_the_game() -> None:
    changed = apply_step(GAME, Step(say="Quiet."))
    assert changed == GAME.model_copy(update={"easier": (), "harder": (), "forms": ()})


def test_a_step_for_another_game_is_refused_with_its_own_words() -> None:
    step = Step(say="A fourth pair.", change={"sides": {"offence": 4, "defence": 4}})

    with pytest.raises(DocumentError, match=r"^A fourth pair\.: 2 problems") as caught:
        apply_step(GAME, step)

    assert [problem.place for problem in caught.value.problems] == ["start, figure 4", "start, figure X4"]

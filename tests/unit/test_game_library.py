"""The games that come with the program: all in order, in every form, and as their stored trials say."""

from __future__ import annotations

from itertools import combinations

import pytest

from courtwright.errors import CannotPlayError
from courtwright.game.document import EntryKind, Game
from courtwright.game.library import library, stored_trial
from courtwright.game.numbers import NUMBERS, forms_for
from courtwright.game.points import POINT_RULES
from courtwright.game.read import apply_step, loose_ends
from courtwright.game.starters import starters
from courtwright.trial.stored import store_trial

SIMULATED = [key for key, game in library().items() if not game.not_simulated]
DRAWN = [key for key in library() if key not in SIMULATED]


def test_the_library_holds_the_starters_and_many_more() -> None:
    assert starters().items() <= library().items()
    assert len(library()) >= 24
    assert len({game.name for game in library().values()}) == len(library())


@pytest.mark.parametrize("key", library())
def test_every_form_and_step_is_in_order(key: str) -> None:
    game = library()[key]

    assert loose_ends(game) == []
    assert {form.players for form in game.forms} == set(NUMBERS)
    for form in game.forms:
        sides = apply_step(game, form).sides
        assert form.baskets * (sides.offence + sides.defence) <= form.players
    assert game.easier
    assert game.harder


@pytest.mark.parametrize("key", library())
def test_every_game_says_what_a_coach_needs(key: str) -> None:
    game = library()[key]

    assert game.purpose.endswith((".", "?"))
    assert game.question.endswith("?")
    assert len(game.cues) == 2
    assert game.points
    assert game.ending.reset_s > 0
    assert game.start.variants, "a start that never changes is learnt by heart"
    assert not [rule for rule in game.points if POINT_RULES[rule.rule].caution]


@pytest.mark.parametrize("key", library())
def test_no_game_brings_everything_at_once(key: str) -> None:
    game = library()[key]
    rules = {item.rule for item in game.constraints}
    limits = {"catch clock", "no sideways dribble", "no spin"}

    assert not (game.entry.kind is EntryKind.PASSES and game.entry.to and rules & limits)
    assert not limits <= rules


@pytest.mark.parametrize("key", library())
def test_each_defender_answers_for_somebody_else(key: str) -> None:
    men = library()[key].guards()

    assert not [pair for pair in combinations(men.values(), 2) if pair[0] == pair[1]]


def test_a_screen_is_drawn_and_not_simulated() -> None:
    assert len(DRAWN) >= 3
    for key in DRAWN:
        assert stored_trial(key) is None
        with pytest.raises(CannotPlayError, match="Drawn, not simulated"):
            store_trial(library()[key])


@pytest.mark.parametrize("key", SIMULATED)
def test_a_stored_trial_comes_out_again(key: str) -> None:
    stored = stored_trial(key)
    assert stored is not None, "run python -m courtwright.trial.stored src/courtwright/game/library"
    again = store_trial(library()[key])

    assert again.keys() == stored.keys()
    for name in ("game_hash", "squad_hash", "minutes", "runs", "seed", "model"):
        assert again[name] == stored[name]
    for old, new in zip(stored["measures"], again["measures"], strict=True):
        assert new["key"] == old["key"]
        # near, because other processors round the last bit differently, and that can turn a simulated shot
        assert [new[part] or 0.0 for part in ("mean", "low", "high")] == pytest.approx(
            [old[part] or 0.0 for part in ("mean", "low", "high")], rel=0.15, abs=0.05
        ), old["key"]


@pytest.mark.parametrize("key", SIMULATED)
def test_players_of_a_trial_play_the_game_and_do_not_run_the_clock_out(key: str) -> None:
    """Points can make holding the ball the best there is; a library game must not be such a one."""
    measures = {item["key"]: item["mean"] for item in (stored_trial(key) or {})["measures"]}

    assert (measures["clock_out"] or 0) < 0.2
    assert measures["scored"] > 0.15


def test_forms_take_pairs_away_where_the_sides_do_not_fit() -> None:
    six = forms_for(library()["four-in-the-frame"])[0]
    changed: Game = apply_step(library()["four-in-the-frame"], six)

    assert (changed.sides.offence, changed.sides.defence) == (3, 3)
    assert "3-on-3" in six.say

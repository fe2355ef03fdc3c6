"""Any sound game can be tried, or is refused with words; what comes out adds up."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.strategies import games

from courtwright.errors import CannotPlayError, RotaError
from courtwright.game.document import Game
from courtwright.rota import rota_for
from courtwright.squad import Player, Squad
from courtwright.trial import run_trial
from courtwright.trial.layout import EVENTS
from courtwright.trial.runs import TALLY
from courtwright.vocabulary import Level


def squad_of(count: int, level: Level) -> Squad:
    return Squad(name="s", level=level, players=tuple(Player(name=f"P{n}") for n in range(count)))


@settings(max_examples=25)
@given(game=games(), level=st.sampled_from(Level), seed=st.integers(0, 2**53 - 1))
def test_any_sound_game_can_be_tried(game: Game, level: Level, seed: int) -> None:
    squad = squad_of(14, level)
    try:
        rota = rota_for(game, squad, 4.0)
    except RotaError:
        return

    trial = run_trial(game, squad, rota.arrays(), minutes=4.0, runs=3, seed=seed)

    events, tally = trial.results.events, trial.results.tally
    each = dict(zip(EVENTS, events.sum(axis=0), strict=True))
    possessions = tally[:, TALLY.index("possessions")]
    assert np.all(possessions >= 1)
    assert np.all(np.isfinite(tally))
    assert np.all(events >= 0)
    missed = each["attempt_rim"] + each["attempt_mid"] + each["attempt_three"] - each["make_void"]
    missed -= each["make_rim"] + each["make_mid"] + each["make_three"]
    assert missed == each["offensive_rebound"] + each["defensive_rebound"]
    sides = game.sides
    assert trial.results.turns.sum() == possessions.sum() * (sides.offence + sides.neutral + sides.defence)
    assert trial.to_json()["sentences"]


@settings(max_examples=15)
@given(game=games(), seed=st.integers(0, 2**53 - 1))
def test_the_twin_agrees_on_any_sound_game(game: Game, seed: int) -> None:
    squad = squad_of(14, Level.U16)
    try:
        rota = rota_for(game, squad, 1.0)
    except RotaError:
        return

    try:
        compiled, twin = (
            run_trial(game, squad, rota.arrays(), minutes=0.6, runs=1, seed=seed, engine=engine)
            for engine in ("numba", "python")
        )
    except CannotPlayError:
        return  # drawn, not simulated

    assert compiled.to_json() == twin.to_json()

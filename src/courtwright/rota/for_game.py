"""The rota of a game for the players of a squad who are here."""

from __future__ import annotations

from typing import Final

from courtwright.game.document import Game
from courtwright.rota.plan import plan_rota, turns_needed
from courtwright.rota.turns import Rota
from courtwright.squad import Squad

PLAY_S: Final = 7.0
"""Seconds of play in a possession, to plan how many turns fit (common practice, no source)."""
USUAL_MINUTES: Final = 10.0
"""Where a game ends at a score alone."""


def minutes_of(game: Game, minutes: float | None = None) -> float:
    """How long it is played: as asked, else as the game says, else as usual."""
    return minutes or game.finish.minutes or USUAL_MINUTES


def rota_for(game: Game, squad: Squad, minutes: float | None = None, seed: int = 0) -> Rota:
    """Turns for those who are here; ``minutes`` as the game says if left out."""
    return plan_rota(
        [player.name for player in squad.here],
        offence=game.sides.offence,
        defence=game.sides.defence,
        neutral=game.sides.neutral,
        rule=game.rota.rule,
        turns=turns_needed(minutes_of(game, minutes), PLAY_S + game.ending.reset_s),
        teams=game.rota.teams,
        grades=[player.grade for player in squad.here],
        seed=seed,
    )

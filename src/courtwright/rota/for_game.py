"""The rota of a game for the players of a squad who are here."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from courtwright.game.document import Game
from courtwright.rota.plan import solve, turns_needed
from courtwright.rota.problem import Problem
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
    return _found(
        Problem(
            tuple(player.name for player in squad.here),
            game.sides.offence,
            game.sides.defence,
            game.sides.neutral,
            turns=turns_needed(minutes_of(game, minutes), PLAY_S + game.ending.reset_s),
            rule=game.rota.rule,
            teams=game.rota.teams,
            grades=tuple(player.grade for player in squad.here),
            seed=seed,
        )
    )


@lru_cache(maxsize=64)
def _found(problem: Problem) -> Rota:
    """A change of distance or points asks for the same turns again: they are not looked for twice."""
    return solve(problem)

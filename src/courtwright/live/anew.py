"""New turns for a run that goes on: what was played counts, the rest is solved anew."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from courtwright.game.document import Game
from courtwright.live.lineup import NOBODY
from courtwright.live.opening import turn_rows
from courtwright.rota import Problem, Turn, Wish, WishKind, change_text, solve, turns_needed
from courtwright.rota.for_game import PLAY_S, minutes_of

LEAST_TURNS: Final = 6
"""planned ahead, however little time is left"""


def turns_anew(
    state: dict[str, Any], here: Sequence[str], grades: Sequence[float | None], seed: int
) -> tuple[list[dict[str, Any]], str]:
    """Turns from the next one on for those who are here now, and what that changes in one sentence.

    Parameters
    ----------
    state
        The run so far, as the fold gives it.
    here, grades
        The players who are here, and their grades in the same order.
    seed
        Same state, same seed, same turns.

    Returns
    -------
    Rows for a fact “rota changed”, and the sentence.
    """
    game = Game.model_validate(state["game"])
    rows = _played(state, game)
    gone = sorted({name for row in rows for name in (*row["figures"].values(), *row["off"])} - set(here))
    names = (*here, *gone)
    played = tuple(_turn(row, names) for row in rows)
    left = turns_needed(minutes_of(game), PLAY_S + game.ending.reset_s) - state["turn"]
    problem = Problem(
        names,
        game.sides.offence,
        game.sides.defence,
        game.sides.neutral,
        turns=len(played) + max(LEAST_TURNS, left),
        rule=game.rota.rule,
        teams=game.rota.teams,
        wishes=(Wish(WishKind.TO_TURN, tuple(range(len(here), len(names))), len(played)),) if gone else (),
        seed=seed,
        played=played,
        grades=(*grades, *(None for _ in gone)),
    )
    rota = solve(problem)
    return turn_rows(rota)[len(played) :], change_text(rota, len(played) + 1)


def _played(state: dict[str, Any], game: Game) -> list[dict[str, Any]]:
    """Who stood where in the turns that were played, each once, where the sides were those of today."""
    figures = {figure for figure in game.sides.figures if figure[0] != "C"}
    by_turn = {row["turn"]: row for row in state["possessions"] if set(row["figures"]) == figures}
    return [row for _, row in sorted(by_turn.items()) if NOBODY not in row["figures"].values()]


def _turn(row: dict[str, Any], names: Sequence[str]) -> Turn:
    groups: dict[str, list[int]] = {"": [], "N": [], "X": []}
    for figure, name in sorted(row["figures"].items()):
        groups[figure[0] if figure[0] in "NX" else ""].append(names.index(name))
    off = tuple(sorted(names.index(name) for name in row["off"]))
    teams = row["offence_team"], row["defence_team"]
    return Turn(tuple(groups[""]), tuple(groups["X"]), tuple(groups["N"]), off, *teams)

"""How a run opens: the game, who plays where, and every number the fold needs, in one document.

A device keeps it and can then go on alone. The registers stand in it as they
were on the day, so that a log folds to the same state years later.
"""

from __future__ import annotations

import json
from contextlib import suppress
from typing import Annotated, Any, Final, Literal

from pydantic import Field

from courtwright.documents import Part
from courtwright.errors import DocumentError
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import Game
from courtwright.game.patch import merge_patch
from courtwright.game.points import POINT_RULES
from courtwright.game.read import parse_game
from courtwright.live.details import ID, Name, TurnRow, Words
from courtwright.rota import balanced_starts
from courtwright.rota.turns import Rota, Turn
from courtwright.vocabulary import Cost, Side

FORMAT: Final = "courtwright.run/1"
STARTS_DRAWN: Final = 240
"""Starts drawn beforehand, so that every device shows the same; then from the first again."""


class PointWorth(Part):
    """What a point rule pays for."""

    side: Side
    counts: tuple[str, ...]
    by_court: bool
    text: str = ""


class UsualCost(Part):
    """Whom a constraint binds, and what a breach usually costs."""

    side: Side
    cost: Cost
    text: str = Field(default="", description="with {limit}, {s} and {es} to be filled in")


class Register(Part):
    """The registers as they were when the run opened."""

    points: dict[str, PointWorth]
    constraints: dict[str, UsualCost]
    inside_value: int
    outside_value: int


class Watched(Part):
    """Something the coach may watch for, and what counts as an opportunity for it."""

    tag: Name
    opportunity: Words


class FormOffered(Part):
    """An easier or harder form that one tap brings, whole."""

    say: Words
    game: Game


class Opening(Part):
    """A run before anything has happened."""

    format: Literal["courtwright.run/1"] = FORMAT
    run: Annotated[str, Field(pattern=ID)]
    game_id: Annotated[str, Field(max_length=40)]
    game_hash: Annotated[str, Field(max_length=64)]
    game: Game
    basket: Name = "main basket"
    players: tuple[Name, ...] = Field(max_length=60)
    teams: tuple[tuple[Name, ...], ...] = ()
    turns: tuple[TurnRow, ...] = Field(min_length=1)
    starts: tuple[int, ...] = Field(description="the variant of each possession's start, −1 the plain one")
    minutes: float | None = None
    to_points: int | None = None
    register_: Register = Field(alias="register")
    forms: tuple[FormOffered, ...] = ()
    tags: tuple[Watched, ...] = Field(default=(), max_length=12)
    made_at: str
    seed: int = 0

    def to_json(self) -> dict[str, Any]:
        """Give the opening as plain JSON data, defaults written out."""
        return self.model_dump(mode="json", by_alias=True)


def open_run(
    run: str,
    game_id: str,
    game: Game,
    rota: Rota,
    *,
    made_at: str,
    basket: str = "main basket",
    tags: tuple[Watched, ...] = (),
    seed: int = 0,
) -> Opening:
    """The opening of a run of a game with a rota; ``made_at`` is UTC in ISO 8601."""
    return Opening.model_validate(
        {
            "run": run,
            "game_id": game_id,
            "game_hash": game.hash,
            "game": game,
            "basket": basket,
            "players": rota.names,
            "teams": [[rota.names[player] for player in team] for team in rota.teams],
            "turns": turn_rows(rota),
            "starts": drawn_starts(game, seed),
            "minutes": game.finish.minutes,
            "to_points": game.finish.points,
            "register": _register(game),
            "forms": forms_of(game),
            "tags": tags,
            "made_at": made_at,
            "seed": seed,
        }
    )


def turn_rows(rota: Rota) -> list[dict[str, Any]]:
    """The turns of a rota by name, as an opening and a changed rota carry them."""
    return [_row(rota, turn) for turn in rota.turns]


def _row(rota: Rota, turn: Turn) -> dict[str, Any]:
    return {
        "figures": {figure: rota.names[player] for figure, player in turn.figures.items()},
        "off": [rota.names[player] for player in turn.off],
        "offence_team": turn.offence_team,
        "defence_team": turn.defence_team,
    }


def drawn_starts(game: Game, seed: int) -> list[int]:
    """Which variant each possession starts from, by weight; the plain start weighs 1."""
    weights = [1.0, *(variant.weight for variant in game.start.variants)]
    return [number - 1 for number in balanced_starts(weights, STARTS_DRAWN, seed)] if len(weights) > 1 else [-1]


def forms_of(game: Game) -> list[FormOffered]:
    """The easier and harder forms, whole; one that would not be sound is left out."""
    offered = []
    for step in (*game.easier, *game.harder):
        changed = json.dumps(merge_patch(game.to_json(), step.change))
        with suppress(DocumentError):
            offered.append(FormOffered(say=step.say, game=parse_game(changed, source=step.say)))
    return offered


def _register(game: Game) -> Register:
    return Register(
        points={
            key: PointWorth(side=kind.side, counts=kind.counts, by_court=kind.by_court, text=kind.text)
            for key, kind in POINT_RULES.items()
        },
        constraints={
            key: UsualCost(side=kind.side, cost=kind.usual_cost, text=kind.text) for key, kind in CONSTRAINTS.items()
        },
        inside_value=game.floor.inside_value,
        outside_value=game.floor.outside_value,
    )

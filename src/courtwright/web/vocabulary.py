"""Everything the forms of the editor offer, read from the registers and the document's own types.

Nothing is listed by hand: a new constraint or a new word in the document shows
up here, and so in the browser, by itself.
"""

from __future__ import annotations

from dataclasses import asdict
from enum import Enum
from functools import cache
from typing import Any, get_args

from courtwright.floor.court import Court, Rules, court
from courtwright.game.constraints import CONSTRAINTS
from courtwright.game.document import FORMAT, AfterPossession, Ending, EntryKind, Game, Help, Teams
from courtwright.game.library import library
from courtwright.game.points import POINT_RULES
from courtwright.vocabulary import Cost, Level, Live, Side, Zone


@cache
def vocabulary() -> dict[str, Any]:
    """The words of the editor as plain JSON data."""
    return {
        "format": FORMAT,
        "constraints": [asdict(kind) | {"played": kind.played} for kind in CONSTRAINTS.values()],
        "points": [asdict(kind) | {"played": kind.played} for kind in POINT_RULES.values()],
        "courts": {rules.value: _court(court(rules)) for rules in Rules},
        "spots": {rules.value: _spots(court(rules)) for rules in Rules},
        "ending": {
            name: _choices(field.annotation) for name, field in Ending.model_fields.items() if name != "reset_s"
        },
        "starters": [_starter(key, game) for key, game in library().items()],
        "schema": Game.model_json_schema(),
        **{
            name: [word.value for word in words]
            for name, words in {
                "costs": Cost,
                "help": Help,
                "live": Live,
                "entry": EntryKind,
                "rota": AfterPossession,
                "teams": Teams,
                "levels": Level,
                "sides": Side,
                "zones": Zone,
            }.items()
        },
    }


def _choices(annotation: Any) -> list[str]:
    return [str(choice.value if isinstance(choice, Enum) else choice) for choice in get_args(annotation)]


def _spots(floor: Court) -> dict[str, tuple[float, float]]:
    return {str(spot): (round(x_m, 3), round(y_m, 3)) for spot, (x_m, y_m) in floor.spots.items()}


def _starter(key: str, game: Game) -> dict[str, Any]:
    about = {"key": key, "name": game.name, "purpose": game.purpose, "simulated": not game.not_simulated}
    return about | {"offence": game.sides.offence, "defence": game.sides.defence}


def _court(floor: Court) -> dict[str, Any]:
    measures = {f"{name}_m": measure.value_m for name, measure in floor.measures().items()}
    return {
        "name": floor.name,
        "side_x_m": floor.side_x_m,
        "end_line_y_m": floor.end_line_y_m,
        "far_y_m": floor.far_y_m,
        "free_throw_y_m": floor.free_throw_y_m,
        "spots": _spots(floor),
        **measures,
    }

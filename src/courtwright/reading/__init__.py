"""Reading a frozen moment: gaps, help, the cost of waiting.

`read_moment` is the way in. The data goes one way: moment → `prepare` (arrays) →
`courtwright.floor.readout` (compiled) → `result` (estimates) → `sentences`.
"""

from __future__ import annotations

from typing import Any, Final

from courtwright.game.document import Game
from courtwright.game.moment import Moment
from courtwright.reading.estimate import estimate
from courtwright.reading.prepare import Array, setting
from courtwright.reading.result import Reading, read_raw
from courtwright.reading.sentences import (
    drive_sentence,
    early_sentence,
    help_sentence,
    never_sentence,
    pass_sentence,
    pause_sentence,
    shot_sentence,
)
from courtwright.reading.space import space_map, spacing
from courtwright.vocabulary import Level

SETS_DRAGGING: Final = {"small": 64, "large": 32}
SETS_RELEASED: Final = 200


def sets_for(players: int, *, dragging: bool = False) -> int:
    """How many parameter sets: all on release, fewer while a finger moves, fewest with many players."""
    if not dragging:
        return SETS_RELEASED
    return SETS_DRAGGING["small" if players <= 6 else "large"]


def read_moment(
    moment: Moment,
    *,
    level: Level = Level.U16,
    game: Game | None = None,
    bodies: Array | None = None,
    sets: int | None = None,
) -> Reading:
    """Read a moment.

    Parameters
    ----------
    level
        The preset for everyone, unless ``bodies`` are given.
    game
        Reads in this game's points; in plain twos and threes if left out.
    bodies
        Known players' figures, (sets, players, figures), attackers then defenders.
    sets
        Parameter sets; 200 if left out.
    """
    players = len(moment.attackers) + len(moment.defenders)
    given = setting(moment, level=level, game=game, bodies=bodies, sets=sets or sets_for(players))
    return Reading(given, read_raw(given))


def quick_json(reading: Reading) -> dict[str, Any]:
    """What follows a finger: numbers, map and spacing from one set of draws."""
    setting_ = reading.setting
    return reading.to_json() | {
        "spacing": spacing(setting_),
        "map": space_map(setting_).to_json(setting_.figures),
        "sentences": {
            "shot": shot_sentence(reading),
            "passes": pass_sentence(reading),
            "drive": drive_sentence(reading),
            "never": never_sentence(reading),
            "help": {reading.figure(setting_.attackers + d): help_sentence(reading, d) for d in reading.helpers},
        },
    }


def full_json(reading: Reading) -> dict[str, Any]:
    """Everything: pauses and the switch curve of each helper too."""
    data = quick_json(reading)
    pauses = reading.pauses()
    data["pauses"] = [
        {"pause_s": pause_s, "loss": estimate(loss, reading.unit).to_json()} for pause_s, loss in pauses.items()
    ]
    data["sentences"]["pause"] = pause_sentence(pauses)
    data["sentences"]["early"] = {}
    for helper, block in zip(reading.helpers, data["help"], strict=True):
        curve = reading.switch(helper)
        block["switch"] = [
            {"open_threes_made": share, "early_cost": estimate(cost, reading.unit).to_json()}
            for share, cost in (curve or {}).items()
        ]
        data["sentences"]["early"][block["helper"]] = early_sentence(reading, helper)
    return data


__all__ = ["Reading", "full_json", "quick_json", "read_moment", "sets_for"]

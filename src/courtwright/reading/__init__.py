"""Reading a frozen moment: gaps, help, the cost of waiting.

`read_moment` is the way in. The data goes one way: moment → `prepare` (arrays) →
`courtwright.floor.readout` (compiled) → `result` (estimates) → `sentences`.
"""

from __future__ import annotations

from collections.abc import Collection
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
from courtwright.reading.space import attack_share, space_map, spacing
from courtwright.reading.timeline import Timeline, timeline
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


def without_chances(data: dict[str, Any]) -> dict[str, Any]:
    """A reading's JSON with the make chances taken out: for the youngest they are guesses through and through."""
    told = "not said for U12: nothing published, and the preset is a guess"
    empty = {"mean": None, "low": None, "high": None, "unit": told}
    passes = [one | {"chance": empty} for one in data["passes"]]
    return data | {"shot": data["shot"] | {"chance": empty}, "passes": passes}


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


def more_json(reading: Reading, *, known: Collection[str] = ()) -> dict[str, Any]:
    """What comes after the finger has lifted: pauses, switch curves and where they cross, the range of the map.

    ``known`` are figures whose threes were tested: of them it is said what early help costs, not when it would.
    """
    pauses, switch, crossing, early = reading.pauses(), {}, {}, {}
    for helper in reading.helpers:
        figure, curve = reading.figure(reading.setting.attackers + helper), reading.switch(helper)
        crosses = reading.crossing(helper)
        crossing[figure] = None if crosses is None else crosses.to_json()
        switch[figure] = [
            {"open_threes_made": share, "early_cost": estimate(cost, reading.unit).to_json()}
            for share, cost in (curve or {}).items()
        ]
        early[figure] = early_sentence(reading, helper, shooter_known=reading.man(helper) in known)
    return {
        "pauses": [
            {"pause_s": pause_s, "loss": estimate(loss, reading.unit).to_json()} for pause_s, loss in pauses.items()
        ],
        "switch": switch,
        "crossing": crossing,
        "break_even": reading.break_even.to_json() if reading.break_even else None,
        "attack_first": estimate(attack_share(reading.setting), "share of the half court").to_json(),
        "sentences": {"pause": pause_sentence(pauses), "early": early},
    }


def full_json(reading: Reading, *, known: Collection[str] = ()) -> dict[str, Any]:
    """Everything: what follows a finger and what comes after it."""
    quick, more = quick_json(reading), more_json(reading, known=known)
    for block in quick["help"]:
        block["switch"], block["crossing"] = more["switch"][block["helper"]], more["crossing"][block["helper"]]
    told = {name: more[name] for name in ("pauses", "break_even", "attack_first")}
    return quick | told | {"sentences": quick["sentences"] | more["sentences"]}


__all__ = [
    "Reading",
    "Timeline",
    "full_json",
    "more_json",
    "quick_json",
    "read_moment",
    "sets_for",
    "timeline",
    "without_chances",
]

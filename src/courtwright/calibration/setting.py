"""The game that the published figures are held against: grown professionals, three on three, half a court."""

from __future__ import annotations

import math
from typing import Any, Final

import numpy as np

from courtwright.floor.court import Rules, court
from courtwright.floor.presets import preset
from courtwright.game.document import Game
from courtwright.squad import Player, Squad
from courtwright.trial import layout as at
from courtwright.trial.parameters import PARAMETERS
from courtwright.trial.prepare import plan_trial
from courtwright.trial.runs import Plan
from courtwright.vocabulary import Level, Spot

CLOCK_S: Final = 14
"""Half of play is over when the ball is up: 18 s less bring-up (assumed)."""
ORGANISE_S: Final = 2.5
"""Before the first decision players find their places (assumed)."""
SPOTS: Final = (
    ("top", "left wing", "right wing"),
    ("left slot", "right wing", "left corner"),
    ("right slot", "left wing", "right corner"),
    ("top", "left corner", "right wing"),
    ("top", "right corner", "left wing"),
    ("left slot", "right slot", "right corner"),
)
"""Where three attackers stand about; half a metre and more either way."""
VARY_M: Final = 0.8
GAP_M: Final = 1.5
DROPPED: Final = 0.7
"""Defenders off the ball begin this share of the way out from the ring."""


def _placements(spots: tuple[str, ...]) -> list[dict[str, Any]]:
    placed: list[dict[str, Any]] = []
    for number, name in enumerate(spots, start=1):
        x_m, y_m = court(Rules.FIBA).spot_m(Spot.parse(name))
        share = 1 - GAP_M / math.hypot(x_m, y_m) if number == 1 else DROPPED
        placed += [
            {"figure": f"{number}", "at": (x_m, y_m), "vary_m": VARY_M},
            {"figure": f"X{number}", "at": (x_m * share, y_m * share), "vary_m": VARY_M / 2},
        ]
    return placed


def setting_game(**parts: Any) -> Game:
    """Three on three with set starts, the court's own scoring and free throws."""
    first, *others = (_placements(spots) for spots in SPOTS)
    data = {
        "name": "calibration",
        "sides": {"offence": 3, "defence": 3},
        "start": {
            "placements": first,
            "ball": "1",
            "variants": [
                {"name": f"start {number}", "placements": placed} for number, placed in enumerate(others, start=2)
            ],
        },
        "constraints": [{"rule": "shot clock", "limit": CLOCK_S}],
        "points": [{"rule": "basket by the court", "points": 1}, {"rule": "free throw", "points": 1}],
        "ending": {"foul": "free throws"},
    }
    return Game.model_validate(data | parts)


def setting_plan(game: Game | None = None, *, seed: int = 1, level: Level = Level.MEN, mixed: bool = False) -> Plan:
    """The setting as arrays, for equal players of a level; ``mixed`` keeps all parameter draws, else the middles."""
    game = game or setting_game()
    offence, defence = game.sides.offence, game.sides.defence
    squad = Squad(name="equal", level=level, players=tuple(Player(name=f"P{n}") for n in range(offence + defence)))
    first = np.arange(offence + defence)
    turns = (first[None, :offence], first[None, offence:], np.array([[0, 1]]))
    plan = plan_trial(game, squad, turns, minutes=10, seed=seed)
    plan.rules[at.ENTRY_DELAY_S] = ORGANISE_S
    if mixed:
        return plan
    middle = preset(level).mids()
    return plan._replace(
        bodies=np.tile(middle, (1, offence + defence, 1)),
        models=np.array([[parameter.mid for parameter in PARAMETERS]]),
        carry_on=np.array([plan.carry_on.mean()]),
    )

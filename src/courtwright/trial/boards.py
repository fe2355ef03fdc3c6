"""A miss and who gets it: where it comes down, who goes for it, who is boxed out."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.ball import RELEASE_HEIGHT_PER_CM, rebound_point, usual_flight_s
from courtwright.floor.movement import span
from courtwright.floor.shots import sigmoid
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.acts import end, take_ball
from courtwright.trial.draws import draw
from courtwright.trial.earned import all_boxed_out, off_landing_m
from courtwright.trial.layout import World
from courtwright.trial.values import (
    OFFENSIVE_SHARE,
)

FALL_S: Final = 0.5
"""From the ring to a height where hands meet the ball (0.43 to 0.56 s, derived from the fall below 8 ft)."""
LAND_S: Final = 0.5
"""A shooter comes down before he moves (ours)."""
CRASH_REACH_M: Final = 4.0
"""A miss this much farther away is e times less worth going for (ours)."""
CRASH_SOFTNESS: Final = 0.04
"""How exactly that is weighed, in scales (ours)."""
HUNG_BACK_M: Final = 1.5
"""Who gets back is as good as this much farther from the ball (ours)."""


@inner
def in_air_s(w: World, x: float, y: float) -> float:
    """Flight time of the holder's shot from there."""
    release_height_m = RELEASE_HEIGHT_PER_CM * w.body[w.holder, its.HEIGHT]
    return usual_flight_s(span(x, y), release_height_m, w.rules[at.RING_HEIGHT])


@inner
def miss(w: World, x: float, y: float) -> None:
    """It stays out: everyone goes for where it comes down."""
    landing_x, landing_y = rebound_point(
        x, y, draw(w, at.FOR_REBOUND), draw(w, at.FOR_REBOUND), draw(w, at.FOR_REBOUND), w.rules[at.BOARD_Y]
    )
    w.goal_x, w.goal_y = landing_x, landing_y
    choose_crash(w)
    w.mode = at.LOOSE
    w.t_go = w.t + LAND_S
    w.t_event = w.t + in_air_s(w, x, y) + FALL_S


@inner
def choose_crash(w: World) -> None:
    """Each attacker goes for the rebound or gets back: what a second chance brings him against its price."""
    kept = w.worth[at.OFFENSIVE_REBOUND] - w.worth[at.DEFENSIVE_REBOUND] - w.worth[at.STOP]
    if w.rules[at.PLAY_ON_REBOUND] > 0.0:
        kept += w.carry_on
    for player in range(w.attackers):
        share = OFFENSIVE_SHARE * math.exp(-off_landing_m(w, player) / CRASH_REACH_M)
        gain = (share * kept / w.scale - w.model[par.CRASH_PRICE]) / CRASH_SOFTNESS
        w.crash[player] = 1 if draw(w, at.FOR_REBOUND) < sigmoid(gain) else 0


@inner
def boxed_out(w: World, attacker: int, off_m: float) -> bool:
    """Whether his defender stands nearer to where the miss comes down."""
    defender = w.guard[attacker]
    if defender < 0:
        return False
    return off_landing_m(w, defender) < off_m


@inner
def board(w: World) -> None:
    """Who gets the rebound: nearness decides, softly; one whose man is nearer than he is counts as boxed out."""
    total = 0.0
    players = w.players
    for player in range(players):
        off_m = off_landing_m(w, player)
        if player < w.attackers and w.crash[player] == 0:
            off_m += HUNG_BACK_M
        if player < w.attackers and boxed_out(w, player, off_m):
            off_m += w.model[par.BOX_OUT]
        w.pull[player] = math.exp(-off_m / w.model[par.GRAB_SCALE])
        total += w.pull[player]
    left = draw(w, at.FOR_REBOUND) * total
    winner = players - 1
    for player in range(players):
        left -= w.pull[player]
        if left < 0.0:
            winner = player
            break
    if winner >= w.attackers:
        w.count[at.DEFENSIVE_REBOUND] += 1
        w.count[at.BOX_OUT] += 1 if all_boxed_out(w, winner) else 0
        end(w, stopped=True)
        return
    w.count[at.OFFENSIVE_REBOUND] += 1
    if w.rules[at.PLAY_ON_REBOUND] == 0.0:
        end(w, stopped=False)
        return
    w.passer = at.NOBODY
    w.from_drive = 0
    take_ball(w, winner)
    w.rebounded = 1
    w.t_clock = w.t
    w.t_event = w.t + w.model[par.REBOUND_PAUSE]

"""Where attackers want to go: the driver, the cutter, the crasher, and those who keep the spacing."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import run_time_s, span
from courtwright.floor.shots import sigmoid
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.draws import draw
from courtwright.trial.layout import World
from courtwright.trial.motion import AT_ONCE, ahead_m, distance_m, distance_to_m, toward

CUT_TO_M: Final = 1.0
"""A cut ends this far in front of the ring (ours)."""
CUT_FROM_M: Final = 3.2
"""Nobody cuts who is nearer (ours)."""
CUT_SOFTNESS_S: Final = 0.15
"""How exactly a cutter judges who is there first (ours)."""
CUT_LASTS_S: Final = 1.6
"""Who has not got the ball by then clears out (ours)."""


@inner
def cut_goal(w: World, player: int) -> tuple[float, float]:
    """Where he cuts to: in front of the ring, on his own side."""
    ux, uy, _ = toward(0.0, 0.0, w.home[player, 0], w.home[player, 1])
    return ux * CUT_TO_M, uy * CUT_TO_M


@inner
def cut_lead_s(w: World, player: int) -> float:
    """How much sooner than any defender he would be there, seconds; his own man has to see it first."""
    x, y = cut_goal(w, player)
    away_m = distance_to_m(w, player, x, y)
    mine_s = run_time_s(away_m, 0.0, w.body[player, its.TOP], w.body[player, its.TAU])
    lead_s = 3.0
    for defender in range(w.attackers, w.players):
        if w.guard[defender] == w.holder:
            continue
        top, tau_s = w.body[defender, its.TOP], w.body[defender, its.TAU]
        way_m = max(0.0, distance_to_m(w, defender, x, y) - 0.5)
        lead_s = min(lead_s, w.body[defender, its.REACT_OFF] + run_time_s(way_m, 0.0, top, tau_s) - mine_s)
    return lead_s


@inner
def consider_cuts(w: World, look_s: float) -> None:
    """Mates of the holder who would beat everyone to the ring may cut; who got nothing clears out."""
    if w.rules[at.CUTS_ON_DEAD] > 0.0 and w.dead == 0:
        return  # obeyed, never broken: waiting for the dead ball costs nothing but the cut
    most = 1.0 - math.exp(-w.model[par.CUTS] * look_s)  # with the way wide open: beyond it nobody looks
    for player in range(w.attackers):
        if player == w.holder or w.task[player] != at.SPACE or span(w.here[player, 0], w.here[player, 1]) < CUT_FROM_M:
            continue
        sample = draw(w, at.FOR_CUT)
        if sample > most:
            continue
        rate = w.model[par.CUTS] * sigmoid(cut_lead_s(w, player) / CUT_SOFTNESS_S)
        if sample < 1.0 - math.exp(-rate * look_s):
            w.task[player] = at.CUT
            w.t_task[player] = w.t


@inner
def is_cutting(w: World) -> bool:
    """Whether anyone is on a cut."""
    cutters = 0
    for player in range(w.attackers):
        cutters += 1 if w.task[player] == at.CUT else 0
    return cutters > 0


@inner
def end_cuts(w: World) -> None:
    """A cut is over at its goal or after a while; he then goes back to his spot."""
    for player in range(w.attackers):
        if w.task[player] == at.CUT:
            x, y = cut_goal(w, player)
            if distance_to_m(w, player, x, y) < 0.4 or w.t > w.t_task[player] + CUT_LASTS_S:
                w.task[player] = at.CLEAR
        elif w.task[player] == at.CLEAR and distance_to_m(w, player, w.home[player, 0], w.home[player, 1]) < 0.8:
            w.task[player] = at.SPACE


@inner
def driver_wants(w: World, driver: int) -> tuple[float, float, float]:
    """Full speed to the bend, then to the goal, less the dribble and whoever stands in the way."""
    if w.t < w.t_go:
        return 0.0, 0.0, AT_ONCE
    goal_x, goal_y = w.goal_x, w.goal_y
    if w.phase == 0:
        goal_x, goal_y = w.bend_x, w.bend_y
    ux, uy, _ = toward(w.here[driver, 0], w.here[driver, 1], goal_x, goal_y)
    speed = w.body[driver, its.TOP] * (1.0 - w.body[driver, its.DRIBBLE_COST])
    kept = speed
    for defender in range(w.attackers, w.players):
        if distance_m(w, defender, driver) < w.model[par.CONTACT] and ahead_m(w, defender, driver) > 0.0:
            along = w.velocity[defender, 0] * ux + w.velocity[defender, 1] * uy
            held = w.model[par.BUMP] * speed + (1.0 - w.model[par.BUMP]) * min(speed, max(0.0, along))
            kept = min(kept, held)
    return ux * kept, uy * kept, AT_ONCE


@inner
def attacker_wants(w: World, player: int) -> tuple[float, float, float]:
    """Where an attacker wants to be and how fast he goes there, or the velocity he wants (`AT_ONCE`)."""
    mode, top = w.mode, w.body[player, its.TOP]
    holds = player == w.holder
    if holds and mode in (at.DRIVING, at.FINISHING):
        return driver_wants(w, player)
    if mode == at.LOOSE:
        goes = w.crash[player] == 1 and not (holds and w.t < w.t_go)  # others get back, a shooter has to land first
        return w.goal_x, w.goal_y, w.model[par.CRASH] * top if goes else 0.0
    if w.task[player] == at.CUT and not holds:
        x, y = cut_goal(w, player)
        ux, uy, _ = toward(w.here[player, 0], w.here[player, 1], x, y)
        return ux * top, uy * top, AT_ONCE
    if holds or (mode == at.PASSING and player == w.target):
        return 0.0, 0.0, AT_ONCE
    return w.home[player, 0], w.home[player, 1], 0.6 * top

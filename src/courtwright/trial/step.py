"""One step of everybody: where they want to go, then the exact law for each body."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor.movement import command
from courtwright.trial import parameters as par
from courtwright.trial.attack import attacker_wants
from courtwright.trial.guarding import defender_wants, slides
from courtwright.trial.layout import World
from courtwright.trial.motion import SLIDE_START, keep_apart, keep_on_floor


WHOLE: Final = 0.999
"""A step longer than this share of the longest is worth keeping: adding up times makes its last bits differ."""


@kernel
def keep_coasts(w: World, dt_s: float) -> bool:
    """Whether `World.coasts` holds for this step; a whole step makes it hold."""
    if dt_s == w.step_s:
        return True
    if dt_s < WHOLE * w.model[par.STEP]:
        return False
    w.step_s = dt_s
    for player in range(w.players):
        for sliding in range(2):
            w.coasts[player, sliding, 0], w.coasts[player, sliding, 1] = coasting(w, player, sliding, dt_s)
    return True


@kernel
def time_constant_s(w: World, player: int, sliding: int) -> float:
    """A slide is slower than a run but starts as briskly."""
    return SLIDE_START * w.body[player, its.TAU] if sliding == 1 else w.body[player, its.TAU]


@kernel
def coasting(w: World, player: int, sliding: int, dt_s: float) -> tuple[float, float]:
    """What a body keeps of its velocity over a step: the share, and the seconds of it that it still covers."""
    tau_s = time_constant_s(w, player, sliding)
    fade = math.exp(-dt_s / tau_s)
    return fade, tau_s * (1.0 - fade)


@kernel
def push_body(w: World, player: int, wants_x: float, wants_y: float, dt_s: float, kept: bool) -> None:
    """Set the velocity a body is commanded to, and how it takes it up."""
    vx, vy = w.velocity[player, 0], w.velocity[player, 1]
    if wants_x == 0.0 and wants_y == 0.0 and vx == 0.0 and vy == 0.0:
        w.push[player, 0] = w.push[player, 1] = 0.0  # he stands and stays: the same to the last bit
        return
    sliding = 1 if player >= w.attackers and slides(w, player) else 0
    top = w.body[player, its.TOP]
    if sliding == 1:
        top = w.body[player, its.SLIDE] * top
    tau_s = time_constant_s(w, player, sliding)
    ux, uy = command(vx, vy, wants_x, wants_y, top, tau_s, w.body[player, its.BRAKE], w.model[par.SETTLE])
    w.push[player, 0], w.push[player, 1] = ux, uy
    if kept:
        w.coast[player, 0], w.coast[player, 1] = w.coasts[player, sliding, 0], w.coasts[player, sliding, 1]
    else:
        w.coast[player, 0], w.coast[player, 1] = coasting(w, player, sliding, dt_s)


@kernel
def step(w: World, dt_s: float) -> None:
    """Move everyone on by ``dt``: wanted velocities from now, then the exact law for each body."""
    kept = keep_coasts(w, dt_s)
    for player in range(w.attackers):
        wants_x, wants_y = attacker_wants(w, player)
        push_body(w, player, wants_x, wants_y, dt_s, kept)
    for player in range(w.attackers, w.players):
        wants_x, wants_y = defender_wants(w, player)
        push_body(w, player, wants_x, wants_y, dt_s, kept)
    for player in range(w.players):
        fade, carry_s = w.coast[player, 0], w.coast[player, 1]
        for axis in range(2):
            u, v = w.push[player, axis], w.velocity[player, axis]
            w.here[player, axis] += u * dt_s + (v - u) * carry_s
            w.velocity[player, axis] = u + (v - u) * fade
        keep_on_floor(w, player)
    keep_apart(w)

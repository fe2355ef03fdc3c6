"""One step of everybody: where they want to go, then the exact law for each body."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor.movement import command
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.attack import attacker_wants
from courtwright.trial.guarding import defender_wants, slides
from courtwright.trial.layout import World
from courtwright.trial.motion import SLIDE_START, keep_apart, keep_on_floor


TOGETHER: Final = 4
"""So many bodies the machine works out at once."""
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
def line_up(w: World, player: int, wants_x: float, wants_y: float, dt_s: float, kept: bool) -> None:
    """Put a player's movement into his lane."""
    sliding = 1 if player >= w.attackers and slides(w, player) else 0
    top = w.body[player, its.TOP]
    if sliding == 1:
        top = w.body[player, its.SLIDE] * top
    w.lanes[at.VX, player], w.lanes[at.VY, player] = w.velocity[player, 0], w.velocity[player, 1]
    w.lanes[at.WANTS_X, player], w.lanes[at.WANTS_Y, player] = wants_x, wants_y
    w.lanes[at.TOP, player], w.lanes[at.TAU, player] = top, time_constant_s(w, player, sliding)
    w.lanes[at.BRAKE, player] = w.body[player, its.BRAKE]
    if kept:
        w.lanes[at.FADE, player], w.lanes[at.CARRY, player] = w.coasts[player, sliding, 0], w.coasts[player, sliding, 1]
    else:
        w.lanes[at.FADE, player], w.lanes[at.CARRY, player] = coasting(w, player, sliding, dt_s)


@kernel
def push_everyone(w: World) -> None:
    """The velocity each body is commanded to; lanes are filled up to a multiple of `TOGETHER`."""
    settle_s = w.model[par.SETTLE]
    lanes = w.lanes
    for player in range((w.players + TOGETHER - 1) // TOGETHER * TOGETHER):
        lanes[at.PUSH_X, player], lanes[at.PUSH_Y, player] = command(
            lanes[at.VX, player],
            lanes[at.VY, player],
            lanes[at.WANTS_X, player],
            lanes[at.WANTS_Y, player],
            lanes[at.TOP, player],
            lanes[at.TAU, player],
            lanes[at.BRAKE, player],
            settle_s,
        )


@kernel
def step(w: World, dt_s: float) -> None:
    """Move everyone on by ``dt``: wanted velocities from now, then the exact law for each body."""
    kept = keep_coasts(w, dt_s)
    for player in range(w.attackers):
        wants_x, wants_y = attacker_wants(w, player)
        line_up(w, player, wants_x, wants_y, dt_s, kept)
    for player in range(w.attackers, w.players):
        wants_x, wants_y = defender_wants(w, player)
        line_up(w, player, wants_x, wants_y, dt_s, kept)
    push_everyone(w)
    lanes = w.lanes
    for player in range(w.players):
        fade, carry_s = lanes[at.FADE, player], lanes[at.CARRY, player]
        for axis in range(2):
            u, v = lanes[at.PUSH_X + axis, player], lanes[at.VX + axis, player]
            w.here[player, axis] += u * dt_s + (v - u) * carry_s
            w.velocity[player, axis] = u + (v - u) * fade
        keep_on_floor(w, player)
    keep_apart(w)

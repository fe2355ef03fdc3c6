"""One step of everybody: where they want to go, then the exact law for each body."""

from __future__ import annotations

import math

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor.movement import command
from courtwright.trial import parameters as par
from courtwright.trial.attack import attacker_wants
from courtwright.trial.guarding import defender_wants, slides
from courtwright.trial.layout import World
from courtwright.trial.motion import SLIDE_START, keep_apart, keep_on_floor


@kernel
def pace(w: World, player: int) -> tuple[float, float]:
    """Top speed and time constant of a body as it moves now: a slide is slower but starts as briskly."""
    top, tau_s = w.body[player, its.TOP], w.body[player, its.TAU]
    if player >= w.attackers and slides(w, player):
        return w.body[player, its.SLIDE] * top, SLIDE_START * tau_s
    return top, tau_s


@kernel
def step(w: World, dt_s: float) -> None:
    """Move everyone on by ``dt``: wanted velocities from now, then the exact law for each body."""
    attackers = w.attackers
    settle_s = w.model[par.SETTLE]
    wants_x, wants_y = 0.0, 0.0
    for player in range(w.players):
        if player < attackers:
            wants_x, wants_y = attacker_wants(w, player)
        else:
            wants_x, wants_y = defender_wants(w, player)
        top, tau_s = pace(w, player)
        vx, vy = w.velocity[player, 0], w.velocity[player, 1]
        ux, uy = command(vx, vy, wants_x, wants_y, top, tau_s, w.body[player, its.BRAKE], settle_s)
        w.push[player, 0] = ux
        w.push[player, 1] = uy
    for player in range(w.players):
        _, tau_s = pace(w, player)
        fade = math.exp(-dt_s / tau_s)
        carry_s = tau_s * (1.0 - fade)
        for axis in range(2):
            u, v = w.push[player, axis], w.velocity[player, axis]
            w.here[player, axis] += u * dt_s + (v - u) * carry_s
            w.velocity[player, axis] = u + (v - u) * fade
        keep_on_floor(w, player)
    keep_apart(w)

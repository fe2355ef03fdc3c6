"""One step of everybody: where they want to go, then the exact law for each body."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor.movement import SAME_PLACE_M, arriving_speed_m_per_s, command, span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.attack import attacker_wants
from courtwright.trial.guarding import defender_wants, drive_threat, slides
from courtwright.trial.layout import World
from courtwright.trial.motion import SLIDE_START, keep_apart, keep_on_floor

TOGETHER: Final = 4
"""So many bodies the machine works out at once."""
CALMLY: Final = 0.7
"""Who runs to a place brakes with this share of what he could (ours)."""
WHOLE: Final = 0.999
"""A step longer than this share of the longest is worth keeping: adding up times makes its last bits differ."""


@inner
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


@inner
def time_constant_s(w: World, player: int, sliding: int) -> float:
    """A slide is slower than a run but starts as briskly."""
    tau_s: float = w.body[player, its.TAU]
    return SLIDE_START * tau_s if sliding == 1 else tau_s


@inner
def coasting(w: World, player: int, sliding: int, dt_s: float) -> tuple[float, float]:
    """What a body keeps of its velocity over a step: the share, and the seconds of it that it still covers."""
    tau_s = time_constant_s(w, player, sliding)
    fade = math.exp(-dt_s / tau_s)
    return fade, tau_s * (1.0 - fade)


@inner
def line_up(w: World, player: int, wants: tuple[float, float, float], dt_s: float, kept: bool) -> None:
    """Put a player's movement into his lane."""
    lanes = w.lanes
    lanes[at.X, player], lanes[at.Y, player] = w.here[player, 0], w.here[player, 1]
    lanes[at.VX, player], lanes[at.VY, player] = w.velocity[player, 0], w.velocity[player, 1]
    lanes[at.GOAL_X, player], lanes[at.GOAL_Y, player], lanes[at.CAP, player] = wants
    sliding = 1 if player >= w.attackers and slides(w, player) else 0
    top = w.body[player, its.TOP]
    lanes[at.TOP, player] = w.body[player, its.SLIDE] * top if sliding == 1 else top
    lanes[at.TAU, player] = time_constant_s(w, player, sliding)
    lanes[at.BRAKE, player] = w.body[player, its.BRAKE]
    if kept:
        lanes[at.FADE, player], lanes[at.CARRY, player] = w.coasts[player, sliding, 0], w.coasts[player, sliding, 1]
    else:
        lanes[at.FADE, player], lanes[at.CARRY, player] = coasting(w, player, sliding, dt_s)


@inner
def wanted(x: float, y: float, goal_x: float, goal_y: float, cap: float, brake: float) -> tuple[float, float]:
    """Velocity of one who runs to a standing goal and stops there, or the one he wants at once."""
    off_x, off_y = goal_x - x, goal_y - y
    away_m = span(off_x, off_y)
    speed = min(cap, arriving_speed_m_per_s(away_m, CALMLY * brake))
    far_m = max(SAME_PLACE_M, away_m)
    run_x, run_y = off_x / far_m * speed, off_y / far_m * speed
    there = away_m < SAME_PLACE_M
    run_x, run_y = 0.0 if there else run_x, 0.0 if there else run_y
    return goal_x if cap < 0.0 else run_x, goal_y if cap < 0.0 else run_y


@inner
def move_together(w: World, dt_s: float) -> None:
    """Each lane on by a step, by the exact law; no branches, so that several bodies are worked out at once."""
    settle_s = w.model[par.SETTLE]
    lanes = w.lanes
    for player in range((w.players + TOGETHER - 1) // TOGETHER * TOGETHER):
        x, y, brake = lanes[at.X, player], lanes[at.Y, player], lanes[at.BRAKE, player]
        wants_x, wants_y = wanted(
            x, y, lanes[at.GOAL_X, player], lanes[at.GOAL_Y, player], lanes[at.CAP, player], brake
        )
        vx, vy = lanes[at.VX, player], lanes[at.VY, player]
        ux, uy = command(vx, vy, wants_x, wants_y, lanes[at.TOP, player], lanes[at.TAU, player], brake, settle_s)
        fade, carry_s = lanes[at.FADE, player], lanes[at.CARRY, player]
        lanes[at.X, player], lanes[at.Y, player] = (
            x + (ux * dt_s + (vx - ux) * carry_s),
            y + (uy * dt_s + (vy - uy) * carry_s),
        )
        lanes[at.VX, player], lanes[at.VY, player] = ux + (vx - ux) * fade, uy + (vy - uy) * fade


@inner
def step(w: World, dt_s: float) -> None:
    """Move everyone on by ``dt``: wanted velocities from now, then the exact law for each body."""
    kept = keep_coasts(w, dt_s)
    w.threat = drive_threat(w)
    for player in range(w.attackers):
        line_up(w, player, attacker_wants(w, player), dt_s, kept)
    for player in range(w.attackers, w.players):
        line_up(w, player, defender_wants(w, player), dt_s, kept)
    move_together(w, dt_s)
    lanes = w.lanes
    for player in range(w.players):
        w.here[player, 0], w.here[player, 1] = lanes[at.X, player], lanes[at.Y, player]
        w.velocity[player, 0], w.velocity[player, 1] = lanes[at.VX, player], lanes[at.VY, player]
        keep_on_floor(w, player)
    keep_apart(w)

"""Where everyone wants to go, and one step of going there."""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor.movement import arriving_speed_m_per_s, command, span
from courtwright.trial import layout as at
from courtwright.trial import parameters as par
from courtwright.trial.layout import World

EXTRA_SAG: Final = 0.65
"""A defender more than the attack has waits this far toward the ring, behind the one who guards (ours)."""
BODY_M: Final = 0.35
"""Bodies do not come nearer, centre to centre (ours: a little over half a shoulder width)."""
BEHIND_M: Final = -1.4
"""How far behind the ring the floor goes before the wall of the board's support and the end line."""
SLIDE_START: Final = 0.7
"""A slide's time constant over the sprint's (ours)."""


@kernel
def distance_m(w: World, one: int, other: int) -> float:
    """Metres between two players."""
    return span(w.here[one, 0] - w.here[other, 0], w.here[one, 1] - w.here[other, 1])


@kernel
def toward(from_x: float, from_y: float, to_x: float, to_y: float) -> tuple[float, float, float]:
    """Unit vector and distance from one point to another; no direction when they coincide."""
    x, y = to_x - from_x, to_y - from_y
    away_m = span(x, y)
    if away_m < 1e-9:
        return 0.0, 0.0, 0.0
    return x / away_m, y / away_m, away_m


@kernel
def ahead_m(w: World, defender: int, driver: int) -> float:
    """How far a defender is in front of a driver, along the driver's way to his goal."""
    ux, uy, _ = toward(w.here[driver, 0], w.here[driver, 1], w.goal_x, w.goal_y)
    return (w.here[defender, 0] - w.here[driver, 0]) * ux + (w.here[defender, 1] - w.here[driver, 1]) * uy


@kernel
def seek(w: World, player: int, goal_x: float, goal_y: float, cap: float) -> tuple[float, float]:
    """Wanted velocity of one who runs to a standing goal and stops there."""
    ux, uy, away_m = toward(w.here[player, 0], w.here[player, 1], goal_x, goal_y)
    speed = min(cap, arriving_speed_m_per_s(away_m, 0.7 * w.body[player, its.BRAKE]))
    return ux * speed, uy * speed


@kernel
def driver_wants(w: World, driver: int) -> tuple[float, float]:
    """Full speed to the bend, then to the goal, less the dribble and whoever stands in the way."""
    if w.t < w.t_go:
        return 0.0, 0.0
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
    return ux * kept, uy * kept


@kernel
def attacker_wants(w: World, player: int) -> tuple[float, float]:
    """Wanted velocity of an attacker."""
    mode = w.mode
    if player == w.holder and mode in (at.DRIVING, at.FINISHING):
        return driver_wants(w, player)
    if mode == at.LOOSE:
        if player == w.holder and w.t < w.t_go:
            return 0.0, 0.0  # the shooter has yet to land
        return seek(w, player, w.goal_x, w.goal_y, w.model[par.CRASH] * w.body[player, its.TOP])
    if player == w.holder or (mode == at.PASSING and player == w.target):
        return 0.0, 0.0
    return seek(w, player, w.home[player, 0], w.home[player, 1], 0.6 * w.body[player, its.TOP])


@kernel
def ball_seen(w: World, defender: int) -> tuple[float, float]:
    """Where a defender takes the ball to be: at a passer until he has reacted to the release."""
    if w.mode != at.PASSING:
        return w.here[w.holder, 0], w.here[w.holder, 1]
    if w.t < w.t_release + w.body[defender, its.REACT_OFF]:
        return w.from_x, w.from_y
    return w.here[w.target, 0], w.here[w.target, 1]


@kernel
def guards_ball(w: World, defender: int) -> bool:
    """Whether his man has the ball, or is about to and he has seen it."""
    mode = w.mode
    if mode == at.PASSING:
        seen = w.t >= w.t_release + w.body[defender, its.REACT_OFF]
        return w.guard[defender] == w.target and seen
    return w.guard[defender] == w.holder


@kernel
def close_out(w: World, defender: int, x: float, y: float, gap_m: float) -> tuple[float, float]:
    """To a gap on the line from a man at (x, y) to the ring, arriving under control."""
    ux, uy, _ = toward(x, y, 0.0, 0.0)
    return seek(w, defender, x + ux * gap_m, y + uy * gap_m, w.body[defender, its.TOP])


@kernel
def guard_holder(w: World, defender: int, man: int) -> tuple[float, float]:
    """Keep the usual gap to a man who stands with the ball; step up once his shot has been seen."""
    gap_m = w.model[par.ON_BALL_GAP]
    if w.mode == at.SHOOTING and w.t >= w.t_notice:
        gap_m = min(gap_m, w.body[defender, its.STOP_GAP])
    return close_out(w, defender, w.here[man, 0], w.here[man, 1], gap_m)


@kernel
def slides(w: World, defender: int) -> bool:
    """Whether he slides in front of a driver: he has seen the drive and is not beaten."""
    driving = w.mode in (at.DRIVING, at.FINISHING)
    return driving and w.guard[defender] == w.holder and w.t_notice <= w.t < w.t_beat


@kernel
def contain(w: World, defender: int, driver: int) -> tuple[float, float]:
    """Until he has seen the drive the closeout runs on; then he slides in front; once beaten he turns and runs."""
    if w.t < w.t_notice:
        return close_out(w, defender, w.from_x, w.from_y, w.model[par.ON_BALL_GAP])
    ux, uy, _ = toward(w.here[defender, 0], w.here[defender, 1], w.goal_x, w.goal_y)
    if w.t >= w.t_beat:
        return ux * w.body[defender, its.TOP], uy * w.body[defender, its.TOP]
    ux, uy, _ = toward(w.here[driver, 0], w.here[driver, 1], w.goal_x, w.goal_y)
    goal_x = w.here[driver, 0] + ux * w.body[defender, its.STOP_GAP]
    goal_y = w.here[driver, 1] + uy * w.body[defender, its.STOP_GAP]
    pull = 1.0 / 0.25  # closes the rest of the way in a quarter of a second, besides moving as the driver moves
    want_x = w.velocity[driver, 0] + (goal_x - w.here[defender, 0]) * pull
    want_y = w.velocity[driver, 1] + (goal_y - w.here[defender, 1]) * pull
    return want_x, want_y


@kernel
def stop_ball(w: World, helper: int, driver: int) -> tuple[float, float]:
    """Run to the driver's way: as far out as he can be there first, and never past the ring's front."""
    ux, uy, away_m = toward(0.0, 0.0, w.here[driver, 0], w.here[driver, 1])
    out_m = min(max(1.1, 0.55 * away_m), 2.6)
    return seek(w, helper, ux * out_m, uy * out_m, w.body[helper, its.TOP])


@kernel
def off_ball(w: World, defender: int, man: int) -> tuple[float, float]:
    """Between his man and the ring, dropped toward the ball: more so the farther the ball is."""
    ball_x, ball_y = ball_seen(w, defender)
    ball_m = span(ball_x - w.here[man, 0], ball_y - w.here[man, 1])
    far = min(1.0, max(0.0, (ball_m - 4.0) / 4.0))
    sag = (1.0 - far) * w.model[par.SAG_NEAR] + far * w.model[par.SAG_FAR]
    if w.guard[man] != defender:
        sag = EXTRA_SAG
    middle_x, middle_y = 0.35 * ball_x, 0.35 * ball_y  # a point on the line from ring to ball
    goal_x = w.here[man, 0] + sag * (middle_x - w.here[man, 0])
    goal_y = w.here[man, 1] + sag * (middle_y - w.here[man, 1])
    return seek(w, defender, goal_x, goal_y, 0.8 * w.body[defender, its.TOP])


@kernel
def defender_wants(w: World, player: int) -> tuple[float, float]:
    """Wanted velocity of a defender."""
    man = w.guard[player]
    mode = w.mode
    if mode == at.LOOSE:
        return seek(w, player, w.goal_x, w.goal_y, w.body[player, its.TOP])
    driving = mode in (at.DRIVING, at.FINISHING)
    if driving and player == w.helper and w.t >= w.t_help:
        return stop_ball(w, player, w.holder)
    if guards_ball(w, player) and w.guard[man] == player:
        return contain(w, player, man) if driving else guard_holder(w, player, man)
    return off_ball(w, player, man)


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


@kernel
def keep_on_floor(w: World, player: int) -> None:
    """Nobody leaves the floor; who comes to its edge stops there."""
    side = w.rules[at.SIDE_X]
    for axis in range(2):
        low, high = (-side, side) if axis == 0 else (BEHIND_M, w.rules[at.FAR_Y])
        if w.here[player, axis] < low or w.here[player, axis] > high:
            w.here[player, axis] = min(max(w.here[player, axis], low), high)
            w.velocity[player, axis] = 0.0


@kernel
def keep_apart(w: World) -> None:
    """Bodies that overlap give way by halves."""
    for one in range(w.players):
        for other in range(one + 1, w.players):
            dx, dy = w.here[other, 0] - w.here[one, 0], w.here[other, 1] - w.here[one, 1]
            if abs(dx) >= BODY_M or abs(dy) >= BODY_M:
                continue
            away_m = span(dx, dy)
            if 1e-9 < away_m < BODY_M:
                give = 0.5 * (BODY_M - away_m) / away_m
                w.here[one, 0] -= dx * give
                w.here[one, 1] -= dy * give
                w.here[other, 0] += dx * give
                w.here[other, 1] += dy * give


@kernel
def gap_at_m(w: World, x: float, y: float, trailing_m: float, to_x: float, to_y: float) -> float:
    """Gap of the nearest defender to a shooter; a man behind him leaves ``trailing`` more room.

    Behind means farther from the ring than the shooter, measured along his line to (``to_x``, ``to_y``).
    """
    nearest_m = 9.0
    ux, uy, _ = toward(x, y, to_x, to_y)
    for defender in range(w.attackers, w.players):
        off_x, off_y = w.here[defender, 0] - x, w.here[defender, 1] - y
        gap_m = span(off_x, off_y)
        if off_x * ux + off_y * uy < 0.0:
            gap_m += trailing_m
        nearest_m = min(nearest_m, gap_m)
    return nearest_m

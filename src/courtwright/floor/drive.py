"""A drive from a frozen moment: past one shoulder of the defender, then to the ring, and whether he holds it.

Dribbles are clocked and metres emerge. Distances decide, not arrival times, so
nothing has to be solved for and no wrong root can be found.
"""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.movement import controlled_gap_m, drift_s, reach_gap_m, run_time_s, span
from courtwright.floor.scene import Scene

AHEAD_M: Final = 0.40
"""A defender must be this far in front of the driver on his path (ours)."""
FORTY_DEGREES: Final = math.radians(40.0)
RUNNING_M_PER_S: Final = 1.0
"""A defender who closes at this speed or more is closing out (ours)."""
SET_GAP_M: Final = 1.8
"""A set defender farther off than this comes up to here (1.2 to 1.8 m is a normal gap; common practice)."""
PAST_DEFENDER_M: Final = 2.6
"""A defender farther off than this at the first step is not gone round but met (ours)."""


@kernel
def sigmoid(x: float) -> float:
    """``1/(1 + exp(−x))``, safe far out."""
    if x < -40.0:
        return 0.0
    return 1.0 / (1.0 + math.exp(-x))


@kernel
def settle_defender(s: Scene) -> None:
    """Where the on-ball defender is when he has taken the drive in: until then his closeout runs on as planned."""
    driver = s.holder
    wait_s = max(0.0, s.body[driver, its.REACT_ATTACK] - s.held_s)
    s.go_s = wait_s + s.pause_s
    d = s.guard[driver]
    if d < 0:
        s.stand_s = s.go_s
        return
    s.stand_s = s.go_s + s.body[d, its.REACT_ON]
    stand_at(s, d, s.stand_s)


@kernel
def stand_at(s: Scene, d: int, t_s: float) -> None:
    """Note where a defender of the holder is at a time, and how he moves, while he takes the holder to stand."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    gap_m, carry = standing_gap(s, d, t_s), drift_s(t_s, s.body[d, its.TAU])
    to_x, to_y = s.here[d, 0] + s.velocity[d, 0] * carry - x, s.here[d, 1] + s.velocity[d, 1] * carry - y
    away_m = max(1e-6, span(to_x, to_y))
    s.stand[0], s.stand[1] = x + to_x / away_m * gap_m, y + to_y / away_m * gap_m
    speed = (standing_gap(s, d, t_s - 0.02) - gap_m) / 0.02
    s.stand[2], s.stand[3] = -to_x / away_m * speed, -to_y / away_m * speed


@kernel
def wanted_gap_m(s: Scene, d: int) -> float:
    """The gap he means to keep: one who runs at the ball stops at an arm's length, one who is set stays (to 1.8 m)."""
    x, y = s.here[s.holder, 0] - s.here[d, 0], s.here[s.holder, 1] - s.here[d, 1]
    away_m = max(1e-6, span(x, y))
    closing = (s.velocity[d, 0] * x + s.velocity[d, 1] * y) / away_m
    runs = max(0.0, min(1.0, closing / RUNNING_M_PER_S))
    return runs * s.body[d, its.STOP_GAP] + (1.0 - runs) * min(away_m, SET_GAP_M)


@kernel
def standing_gap(s: Scene, d: int, t_s: float) -> float:
    """Gap of a defender to the holder while he takes the holder to stand."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    top, tau_s, brake = s.body[d, its.TOP], s.body[d, its.TAU], s.body[d, its.BRAKE]
    vx, vy = s.velocity[d, 0], s.velocity[d, 1]
    stop_m = wanted_gap_m(s, d)
    return controlled_gap_m(x, y, s.here[d, 0], s.here[d, 1], vx, vy, 0.0, t_s, top, tau_s, brake, stop_m)


@kernel
def plan_route(s: Scene, side: float, abeam_m: float) -> None:
    """Lay the path past the defender at ``abeam`` on one side (−1 left, +1 right) and time it to the release."""
    driver = s.holder
    x, y = s.here[driver, 0], s.here[driver, 1]
    away_m = max(1e-6, span(x, y))
    ux, uy = -x / away_m, -y / away_m
    along_m, across_m = min(0.9, 0.5 * away_m), side * 0.1
    if s.guard[driver] >= 0:
        off_x, off_y = s.stand[0] - x, s.stand[1] - y
        along_m = max(0.3, off_x * ux + off_y * uy)
        near = max(0.0, min(1.0, (PAST_DEFENDER_M + 0.8 - along_m) / 0.8))
        across_m = near * (off_y * ux - off_x * uy + side * abeam_m) + (1.0 - near) * side * 0.1
        along_m = min(along_m, PAST_DEFENDER_M, max(0.3, away_m - s.assumed[at.FINISH]))
    bend_x, bend_y = x + ux * along_m - uy * across_m, y + uy * along_m + ux * across_m
    ring_m = max(1e-6, span(bend_x, bend_y))
    s.finish[0], s.finish[1] = bend_x / ring_m * s.assumed[at.FINISH], bend_y / ring_m * s.assumed[at.FINISH]
    time_route(s, bend_x, bend_y)


@kernel
def time_route(s: Scene, bend_x: float, bend_y: float) -> None:
    """Times along the path: leg to the bend, speed lost in the turn, leg to the gather, last steps, release."""
    driver = s.holder
    x, y = s.here[driver, 0], s.here[driver, 1]
    top, tau_s = s.body[driver, its.TOP] * (1.0 - s.body[driver, its.DRIBBLE_COST]), s.body[driver, its.TAU]
    first_m = max(1e-6, span(bend_x - x, bend_y - y))
    second_m = max(1e-6, span(s.finish[0] - bend_x, s.finish[1] - bend_y))
    ax, ay = (bend_x - x) / first_m, (bend_y - y) / first_m
    bx, by = (s.finish[0] - bend_x) / second_m, (s.finish[1] - bend_y) / second_m
    start = max(0.0, s.velocity[driver, 0] * ax + s.velocity[driver, 1] * ay)
    bend_after_s = run_time_s(first_m, start, top, tau_s)
    speed = top - (top - start) * math.exp(-bend_after_s / tau_s)
    turn = math.acos(max(-1.0, min(1.0, ax * bx + ay * by)))
    speed = max(0.4 * speed, speed - s.assumed[at.CUT_LOSS] * turn / FORTY_DEGREES)
    steps_m = min(second_m, s.body[driver, its.LAST_STEPS])
    gather_after_s = run_time_s(second_m - steps_m, speed, top, tau_s)
    last = max(1.0, top - (top - speed) * math.exp(-gather_after_s / tau_s))
    s.bend_s = s.go_s + bend_after_s
    s.gather_s = s.bend_s + gather_after_s
    s.release_s = s.gather_s + steps_m / last + s.assumed[at.UP]
    sample(s, start, speed, bend_x, bend_y, ax, ay, bx, by)
    clock_dribbles(s)


@kernel
def sample(
    s: Scene, start: float, after: float, bend_x: float, bend_y: float, ax: float, ay: float, bx: float, by: float
) -> None:
    """The path at even times from the first step to the gather."""
    driver = s.holder
    top, tau_s = s.body[driver, its.TOP] * (1.0 - s.body[driver, its.DRIBBLE_COST]), s.body[driver, its.TAU]
    s.steps = min(at.PATH, 2 + int((s.gather_s - s.go_s) / at.STEP_S))
    for step in range(s.steps):
        t_s = min(step * at.STEP_S, s.gather_s - s.go_s)
        before_s = min(t_s, s.bend_s - s.go_s)
        way_m = top * before_s - (top - start) * drift_s(before_s, tau_s)
        px, py = s.here[driver, 0] + ax * way_m, s.here[driver, 1] + ay * way_m
        if t_s > before_s:
            past_s = t_s - before_s
            way_m = top * past_s - (top - after) * drift_s(past_s, tau_s)
            px, py = bend_x + bx * way_m, bend_y + by * way_m
        s.path[step, 0], s.path[step, 1] = px, py


@kernel
def clock_dribbles(s: Scene) -> None:
    """Dribbles touch at a fixed period from the first step on, until the gather."""
    period_s = s.body[s.holder, its.DRIBBLE_PERIOD]
    s.touches = 0
    t_s = s.go_s + s.assumed[at.FIRST_TOUCH]
    while s.touches < 8:
        s.touch_s[s.touches] = t_s + s.touches * period_s
        s.touches += 1
        if s.touch_s[s.touches - 1] + period_s > s.gather_s:
            break


@kernel
def place_at(s: Scene, t_s: float) -> tuple[float, float]:
    """Where the driver is at a time, up to the gather."""
    at_step = max(0.0, min((t_s - s.go_s) / at.STEP_S, s.steps - 1.0))
    low = int(at_step)
    high = min(low + 1, s.steps - 1)
    share = at_step - low
    x = s.path[low, 0] + share * (s.path[high, 0] - s.path[low, 0])
    y = s.path[low, 1] + share * (s.path[high, 1] - s.path[low, 1])
    return x, y


@kernel
def contain_chance(s: Scene) -> float:
    """Chance that the on-ball defender gets in the way before the gather.

    ``max`` over the path of (contact distance − nearest he can be to a point
    ahead of the driver), sliding at once or running after a turn; a logistic of
    that distance. Moving the wrong way when the drive starts is punished through
    his drift.
    """
    d = s.guard[s.holder]
    if d < 0:
        return 0.0
    top, tau_s = s.body[d, its.TOP], s.body[d, its.TAU]
    slide, slide_tau_s = s.body[d, its.SLIDE] * top, s.assumed[at.SLIDE_START] * tau_s
    best_m = -9.0
    for step in range(1, s.steps):
        t_s = s.go_s + min(step * at.STEP_S, s.gather_s - s.go_s) - s.stand_s
        if t_s <= 0.0:
            continue
        x, y = ahead_of(s, step)
        near_m = reach_gap_m(x, y, s.stand[0], s.stand[1], s.stand[2], s.stand[3], slide, slide_tau_s, t_s)
        run_s = t_s - s.assumed[at.TURN]
        if run_s > 0.0:
            near_m = min(near_m, reach_gap_m(x, y, s.stand[0], s.stand[1], s.stand[2], s.stand[3], top, tau_s, run_s))
        best_m = max(best_m, s.assumed[at.CONTACT] - near_m)
    return sigmoid(best_m / s.assumed[at.CONTAIN_SOFTNESS])


@kernel
def ahead_of(s: Scene, step: int) -> tuple[float, float]:
    """The point a little ahead of the driver on his way."""
    x, y = s.path[step, 0], s.path[step, 1]
    dx, dy = x - s.path[step - 1, 0], y - s.path[step - 1, 1]
    size = span(dx, dy)
    if size < 1e-9:
        return x, y
    return x + dx / size * AHEAD_M, y + dy / size * AHEAD_M

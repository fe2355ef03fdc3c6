"""A drive from a frozen moment: past one shoulder of the defender, then to the ring, and whether he holds it.

Dribbles are clocked and metres emerge. Distances decide, not arrival times, so
nothing has to be solved for and no wrong root can be found.
"""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import inner
from courtwright.floor import body as its
from courtwright.floor import scene as at
from courtwright.floor.movement import controlled_gap_m, drift_s, reach_gap_m, run_time_s, sideways, span
from courtwright.floor.scene import Scene
from courtwright.floor.shots import sigmoid

AHEAD_M: Final = 0.40
"""A defender must be this far in front of the driver on his path (ours)."""
FORTY_DEGREES: Final = math.radians(40.0)
RUNNING_M_PER_S: Final = 1.0
"""A defender who closes at this speed or more is closing out (ours)."""
SET_GAP_M: Final = 1.8
"""A set defender farther off than this comes up to here (1.2 to 1.8 m is a normal gap; common practice)."""
PAST_DEFENDER_M: Final = 2.6
"""A defender farther off than this at the first step is not gone round but met (ours)."""
MET_OVER_M: Final = 0.8
CLEAR_M: Final = 0.1
"""How far a way bends that nobody stands in (ours)."""
LOOKS: Final = 16
"""Times at which it is looked whether the defender is in the way."""


@inner
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


@inner
def stand_at(s: Scene, d: int, t_s: float) -> None:
    """Note where a defender of the holder is at a time, and how he moves, while he takes the holder to stand."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    gap_m = standing_gap(s, d, t_s)
    vx, vy = s.velocity[d, 0], s.velocity[d, 1]
    from_x, from_y, _ = sideways(x, y, s.here[d, 0], s.here[d, 1], vx, vy, s.body[d, its.TAU], t_s)
    to_x, to_y = from_x - x, from_y - y
    away_m = max(1e-6, span(to_x, to_y))
    s.stand[0], s.stand[1] = x + to_x / away_m * gap_m, y + to_y / away_m * gap_m
    speed = (standing_gap(s, d, t_s - 0.02) - gap_m) / 0.02
    s.stand[2], s.stand[3] = -to_x / away_m * speed, -to_y / away_m * speed


@inner
def wanted_gap_m(s: Scene, d: int) -> float:
    """The gap he means to keep: one who runs at the ball stops at an arm's length, one who is set stays (to 1.8 m)."""
    x, y = s.here[s.holder, 0] - s.here[d, 0], s.here[s.holder, 1] - s.here[d, 1]
    away_m = max(1e-6, span(x, y))
    closing = (s.velocity[d, 0] * x + s.velocity[d, 1] * y) / away_m
    runs = max(0.0, min(1.0, closing / RUNNING_M_PER_S))
    return runs * s.body[d, its.STOP_GAP] + (1.0 - runs) * min(away_m, SET_GAP_M)


@inner
def standing_gap(s: Scene, d: int, t_s: float) -> float:
    """Gap of a defender to the holder while he takes the holder to stand."""
    x, y = s.here[s.holder, 0], s.here[s.holder, 1]
    top, tau_s, brake = s.body[d, its.TOP], s.body[d, its.TAU], s.body[d, its.BRAKE]
    vx, vy = s.velocity[d, 0], s.velocity[d, 1]
    stop_m = wanted_gap_m(s, d)
    return controlled_gap_m(x, y, s.here[d, 0], s.here[d, 1], vx, vy, 0.0, t_s, top, tau_s, brake, stop_m)


@inner
def plan_route(s: Scene, side: float, abeam_m: float) -> None:
    """Lay the way past the defender at ``abeam`` on one side (−1 left, +1 right) and time it to the release."""
    driver = s.holder
    x, y = s.here[driver, 0], s.here[driver, 1]
    away_m = max(1e-6, span(x, y))
    ux, uy = -x / away_m, -y / away_m
    along_m, across_m = min(0.9, 0.5 * away_m), CLEAR_M
    if s.guard[driver] >= 0:
        off_x, off_y = s.stand[0] - x, s.stand[1] - y
        along_m = max(0.3, off_x * ux + off_y * uy)
        near = max(0.0, min(1.0, (PAST_DEFENDER_M + MET_OVER_M - along_m) / MET_OVER_M))
        round_m = max(CLEAR_M, side * (off_y * ux - off_x * uy) + abeam_m)
        across_m = near * round_m + (1.0 - near) * CLEAR_M
        along_m = min(along_m, PAST_DEFENDER_M, max(0.3, away_m - s.assumed[at.FINISH]))
    across_m *= side
    s.bend[0], s.bend[1] = x + ux * along_m - uy * across_m, y + uy * along_m + ux * across_m
    ring_m = max(1e-6, span(s.bend[0], s.bend[1]))
    s.finish[0] = s.bend[0] / ring_m * s.assumed[at.FINISH]
    s.finish[1] = s.bend[1] / ring_m * s.assumed[at.FINISH]
    time_route(s)


@inner
def time_route(s: Scene) -> None:
    """Times along the way: to the bend, speed lost in the turn, to the gather, last steps, release."""
    driver = s.holder
    top, tau_s = dribbling_m_per_s(s), s.body[driver, its.TAU]
    first_x, first_y = s.bend[0] - s.here[driver, 0], s.bend[1] - s.here[driver, 1]
    second_x, second_y = s.finish[0] - s.bend[0], s.finish[1] - s.bend[1]
    s.first_m, s.second_m = max(1e-6, span(first_x, first_y)), max(1e-6, span(second_x, second_y))
    toward = (s.velocity[driver, 0] * first_x + s.velocity[driver, 1] * first_y) / s.first_m
    s.start_m_per_s = min(top, max(0.0, toward))
    bend_after_s = run_time_s(s.first_m, s.start_m_per_s, top, tau_s)
    speed = top - (top - s.start_m_per_s) * math.exp(-bend_after_s / tau_s)
    turn = math.acos(max(-1.0, min(1.0, (first_x * second_x + first_y * second_y) / (s.first_m * s.second_m))))
    s.after_m_per_s = max(0.4 * speed, speed - s.assumed[at.CUT_LOSS] * turn / FORTY_DEGREES)
    steps_m = min(s.second_m, s.body[driver, its.LAST_STEPS])
    gather_after_s = run_time_s(s.second_m - steps_m, s.after_m_per_s, top, tau_s)
    last = max(1.0, top - (top - s.after_m_per_s) * math.exp(-gather_after_s / tau_s))
    s.bend_s = s.go_s + bend_after_s
    s.gather_s = s.bend_s + gather_after_s
    s.release_s = s.gather_s + steps_m / last + s.assumed[at.UP]


@inner
def dribbling_m_per_s(s: Scene) -> float:
    """The driver's top speed with the ball."""
    top: float = s.body[s.holder, its.TOP] * (1.0 - s.body[s.holder, its.DRIBBLE_COST])
    return top


@inner
def clock_dribbles(s: Scene) -> None:
    """Dribbles touch at a fixed period from the first step on, until the gather."""
    period_s = s.body[s.holder, its.DRIBBLE_PERIOD]
    s.touches = 0
    t_s = s.go_s + s.assumed[at.FIRST_TOUCH]
    while s.touches < at.MOST_TOUCHES:
        s.touch_s[s.touches] = t_s + s.touches * period_s
        s.touches += 1
        if s.touch_s[s.touches - 1] + period_s > s.gather_s:
            break


@inner
def driven_m(s: Scene, t_s: float) -> float:
    """How far along his way the driver is at a time, up to the gather."""
    top, tau_s = dribbling_m_per_s(s), s.body[s.holder, its.TAU]
    if t_s <= s.bend_s:
        gone_s = max(0.0, t_s - s.go_s)
        return min(s.first_m, top * gone_s - (top - s.start_m_per_s) * drift_s(gone_s, tau_s))
    past_s = min(t_s, s.gather_s) - s.bend_s
    return s.first_m + min(s.second_m, top * past_s - (top - s.after_m_per_s) * drift_s(past_s, tau_s))


@inner
def point_at(s: Scene, way_m: float) -> tuple[float, float]:
    """The point so far along the way; past the finish straight on."""
    if way_m <= s.first_m:
        share = way_m / s.first_m
        x, y = s.here[s.holder, 0], s.here[s.holder, 1]
        return x + share * (s.bend[0] - x), y + share * (s.bend[1] - y)
    share = (way_m - s.first_m) / s.second_m
    return s.bend[0] + share * (s.finish[0] - s.bend[0]), s.bend[1] + share * (s.finish[1] - s.bend[1])


@inner
def place_at(s: Scene, t_s: float) -> tuple[float, float]:
    """Where the driver is at a time, up to the gather."""
    return point_at(s, driven_m(s, t_s))


@inner
def contain_chance(s: Scene) -> float:
    """Chance that the on-ball defender gets in the way before the gather.

    ``max`` over the way of (contact distance − nearest he can be to a point
    ahead of the driver), sliding at once or running after a turn; a logistic of
    that distance. Moving the wrong way when the drive starts is punished through
    his drift.
    """
    d = s.guard[s.holder]
    if d < 0:
        return 0.0
    top, tau_s = s.body[d, its.TOP], s.body[d, its.TAU]
    slide, slide_tau_s = s.body[d, its.SLIDE] * top, s.assumed[at.SLIDE_START] * tau_s
    x, y, vx, vy = s.stand[0], s.stand[1], s.stand[2], s.stand[3]
    least_m = 99.0
    for look in range(1, LOOKS + 1):
        t_s = max(0.0, s.gather_s - s.stand_s) * look / LOOKS
        to_x, to_y = point_at(s, driven_m(s, s.stand_s + t_s) + AHEAD_M)
        least_m = min(least_m, reach_gap_m(to_x, to_y, x, y, vx, vy, slide, slide_tau_s, t_s))
        run_s = t_s - s.assumed[at.TURN]
        if run_s > 0.0:
            least_m = min(least_m, reach_gap_m(to_x, to_y, x, y, vx, vy, top, tau_s, run_s))
    return sigmoid((s.assumed[at.CONTACT] - least_m) / s.assumed[at.CONTAIN_SOFTNESS])

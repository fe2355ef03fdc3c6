"""How bodies move: the mono-exponential sprint, the disc of reach, controlled stops.

One law serves everything. A body that wants velocity ``u`` (``|u| ≤ V``) obeys
``dv/dt = (u − v)/τ``. Held for a time ``t`` it gives exactly

    x(t) = x + u t + (v − u) e(t),   v(t) = u + (v − u) exp(−t/τ),   e(t) = τ(1 − exp(−t/τ)).

From rest and straight ahead that is the sprint of Furusawa, Hill & Parkinson
(1927); over all directions it is the disc of Fujimura & Sugihara (2005): at time
``t`` a player can be anywhere within ``V(t − e)`` of ``x + v e``.

Symbols: V top speed (m/s), τ time constant (s), b braking (m/s²), distances in
metres, times in seconds.
"""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel

BODIES_M: Final = 0.45
"""Nearest that two bodies come while one shoots (lowest gap in published shot data)."""
MARCH_S: Final = 0.00025
"""Least step in looking for a first arrival."""
SAME_PLACE_M: Final = 1e-9
SLACK_M: Final = 1e-6
"""Room for rounding where one is left out because he is farther off than another."""
NEVER_S: Final = 99.0
"""Returned for what does not happen within any possession."""


@kernel
def span(x: float, y: float) -> float:
    """Length of a vector. Not ``math.hypot``: Python's and the compiler's differ in the last bit."""
    return math.sqrt(x * x + y * y)


@kernel
def drift_s(t_s: float, tau_s: float) -> float:
    """``e(t) = τ(1 − exp(−t/τ))``: how many seconds of his present velocity a body still covers in ``t``."""
    return tau_s * (1.0 - math.exp(-t_s / tau_s))


@kernel
def sprint_distance_m(t_s: float, top_m_per_s: float, tau_s: float) -> float:
    """Distance sprinted from rest in ``t``: ``V(t − e(t))``."""
    return top_m_per_s * (t_s - drift_s(t_s, tau_s))


@kernel
def sprint_speed_m_per_s(t_s: float, top_m_per_s: float, tau_s: float) -> float:
    """Speed after sprinting from rest for ``t``: ``V(1 − exp(−t/τ))``."""
    return top_m_per_s * (1.0 - math.exp(-t_s / tau_s))


@kernel
def run_time_s(distance_m: float, start_m_per_s: float, top_m_per_s: float, tau_s: float) -> float:
    """Time to run ``distance`` straight ahead from speed ``v`` toward the goal.

    Solves ``V t − (V − v) e(t) = d``. The left side is convex in ``t`` for
    ``v ≤ V``, so Newton started to the right of the root falls to it without
    overshooting; ``(d + (V − v) τ)/V`` is such a start. A handful of steps gives
    the time to within 1 µs for any distance on a court (checked against Lambert's W
    in the tests). A negative ``v`` (running away) is allowed.
    """
    if distance_m <= 0.0:
        return 0.0
    spare = top_m_per_s - start_m_per_s
    if spare <= 0.0:
        return distance_m / start_m_per_s
    t_s = (distance_m + spare * tau_s) / top_m_per_s
    for _ in range(8):
        fade = math.exp(-t_s / tau_s)
        over_m = top_m_per_s * t_s - spare * tau_s * (1.0 - fade) - distance_m
        slope = top_m_per_s - spare * fade
        if slope <= 1e-9:
            break
        t_s -= over_m / slope
        if over_m < 1e-9:
            break
    return t_s


@kernel
def reach_gap_m(
    goal_x: float,
    goal_y: float,
    x: float,
    y: float,
    vx: float,
    vy: float,
    top_m_per_s: float,
    tau_s: float,
    t_s: float,
) -> float:
    """Nearest a body can be to the goal at time ``t``, in metres; negative where he could be there already."""
    if t_s <= 0.0:
        return span(goal_x - x, goal_y - y)
    carry = drift_s(t_s, tau_s)
    return span(goal_x - x - vx * carry, goal_y - y - vy * carry) - top_m_per_s * (t_s - carry)


@kernel
def arrival_s(
    goal_x: float,
    goal_y: float,
    x: float,
    y: float,
    vx: float,
    vy: float,
    top_m_per_s: float,
    tau_s: float,
    until_s: float = NEVER_S,
) -> float:
    """First time a body can be at the goal: never before it, at most `MARCH_S` after. Later than asked is never.

    Ahead of a sprinter the equation has several roots, and Newton finds wrong ones.
    So it begins where one who already ran straight at the goal would be there, which
    nobody beats (for one who stands that is the answer), and marches by
    ``gap / max(V, |v|)``: nothing closes faster than that.
    """
    speed, away_m = span(vx, vy), span(goal_x - x, goal_y - y)
    fastest = max(top_m_per_s, speed)
    t_s = run_time_s(away_m, speed, top_m_per_s, tau_s) if speed < top_m_per_s else away_m / fastest
    while t_s <= until_s:
        gap_m = reach_gap_m(goal_x, goal_y, x, y, vx, vy, top_m_per_s, tau_s, t_s)
        if gap_m <= SAME_PLACE_M:
            return t_s
        t_s += max(gap_m / fastest, MARCH_S)
    return NEVER_S


@kernel
def braking_starts_s(
    distance_m: float, start_m_per_s: float, top_m_per_s: float, tau_s: float, brake_m_per_s2: float
) -> float:
    """When one who sprints from speed ``u`` must start braking to stop within ``D``: ``d(t) + v(t)²/2b = D``.

    Newton inside a bracket, for ``u²/2b < D``. The start takes the first
    acceleration ``(V − u)/τ`` as lasting; three or four steps reach 0.1 mm.
    """
    spare = top_m_per_s - start_m_per_s
    first = spare / tau_s
    room_m = distance_m - start_m_per_s * start_m_per_s / (2.0 * brake_m_per_s2)
    bent = first * (1.0 + first / brake_m_per_s2)
    slow = start_m_per_s * (1.0 + first / brake_m_per_s2)
    turn_s = 2.0 * room_m / (slow + math.sqrt(slow * slow + 2.0 * bent * room_m))
    low_s, high_s = turn_s, distance_m / top_m_per_s + tau_s
    for _ in range(30):
        lost = spare * math.exp(-turn_s / tau_s)
        speed = top_m_per_s - lost
        over_m = top_m_per_s * turn_s - tau_s * (spare - lost) + speed * speed / (2.0 * brake_m_per_s2) - distance_m
        if abs(over_m) < 1e-4:
            break
        if over_m < 0.0:
            low_s = turn_s
        else:
            high_s = turn_s
        turn_s -= over_m / (speed * (1.0 + lost / (tau_s * brake_m_per_s2)))
        if turn_s <= low_s or turn_s >= high_s:
            turn_s = 0.5 * (low_s + high_s)
    return turn_s


@kernel
def controlled_run_m(
    distance_m: float, t_s: float, start_m_per_s: float, top_m_per_s: float, tau_s: float, brake_m_per_s2: float
) -> float:
    """Distance covered in ``t`` from a speed by one who must stop after ``distance``: sprint, then brake evenly.

    One who is too fast to stop there brakes at once and runs over.
    """
    if t_s <= 0.0:
        return 0.0
    start = min(start_m_per_s, 0.999 * top_m_per_s)
    fade = math.exp(-t_s / tau_s)
    speed = top_m_per_s - (top_m_per_s - start) * fade
    sprinted_m = top_m_per_s * t_s - (top_m_per_s - start) * tau_s * (1.0 - fade)
    if sprinted_m + speed * speed / (2.0 * brake_m_per_s2) <= distance_m:
        return sprinted_m
    turn_s = 0.0
    if start * start / (2.0 * brake_m_per_s2) < distance_m:
        turn_s = braking_starts_s(distance_m, start, top_m_per_s, tau_s, brake_m_per_s2)
    fade = math.exp(-turn_s / tau_s)
    speed = top_m_per_s - (top_m_per_s - start) * fade
    rest_s = min(t_s - turn_s, speed / brake_m_per_s2)
    covered_m = top_m_per_s * turn_s - (top_m_per_s - start) * tau_s * (1.0 - fade) + speed * rest_s
    return max(0.0, covered_m - 0.5 * brake_m_per_s2 * rest_s * rest_s)


@kernel
def sideways(
    goal_x: float, goal_y: float, x: float, y: float, vx: float, vy: float, tau_s: float, t_s: float
) -> tuple[float, float, float]:
    """Where a body drifts to in ``t`` but for its speed toward a goal, and that speed.

    Speed across or away from the goal only fades; speed toward it can be run on with, or braked.
    """
    away_m = max(1e-9, span(goal_x - x, goal_y - y))
    ux, uy = (goal_x - x) / away_m, (goal_y - y) / away_m
    toward = max(0.0, vx * ux + vy * uy)
    carry = drift_s(max(0.0, t_s), tau_s)
    return x + (vx - toward * ux) * carry, y + (vy - toward * uy) * carry, toward


@kernel
def controlled_gap_m(
    goal_x: float,
    goal_y: float,
    x: float,
    y: float,
    vx: float,
    vy: float,
    blind_s: float,
    t_s: float,
    top_m_per_s: float,
    tau_s: float,
    brake_m_per_s2: float,
    stop_m: float,
) -> float:
    """Gap left to a standing goal after ``t`` by one who arrives under control and stops at ``stop``.

    For ``blind`` seconds he only drifts with his own speed; then he runs on with what
    is left of it, and brakes in time where he can. The disc of reach says 0 where
    this says about a metre: never show the disc as a gap.
    """
    return nearer_gap_m(
        goal_x, goal_y, x, y, vx, vy, blind_s, t_s, top_m_per_s, tau_s, brake_m_per_s2, stop_m, math.inf
    )


@kernel
def nearer_gap_m(
    goal_x: float,
    goal_y: float,
    x: float,
    y: float,
    vx: float,
    vy: float,
    blind_s: float,
    t_s: float,
    top_m_per_s: float,
    tau_s: float,
    brake_m_per_s2: float,
    stop_m: float,
    nearest_m: float,
) -> float:
    """The same where it is less than ``nearest``, which somebody else leaves already; otherwise ``nearest``.

    Nobody covers more than ``s t + (V − s) t²/2τ`` from a speed s in t: the sprint's
    first acceleration lasting. Who is too far off for that need not be braked.
    """
    base_x, base_y, toward = sideways(goal_x, goal_y, x, y, vx, vy, tau_s, t_s)
    left_m, least_m = span(goal_x - base_x, goal_y - base_y), min(BODIES_M, span(goal_x - x, goal_y - y))
    blind = min(max(0.0, blind_s), max(0.0, t_s))
    fade = math.exp(-blind / tau_s)
    drifted_m = toward * (tau_s * (1.0 - fade))
    start = toward * fade
    run_s = t_s - blind
    most_m = run_s * min(top_m_per_s, start + (top_m_per_s - start) * run_s / (2.0 * tau_s))
    if left_m - drifted_m - most_m > nearest_m + SLACK_M:
        return nearest_m
    run_m = controlled_run_m(max(0.0, left_m - stop_m - drifted_m), run_s, start, top_m_per_s, tau_s, brake_m_per_s2)
    return max(least_m, left_m - drifted_m - run_m)  # bodies do not run through each other


@kernel
def arriving_speed_m_per_s(distance_m: float, brake_m_per_s2: float) -> float:
    """Fastest speed from which one still stops within ``distance``: ``√(2 b d)``."""
    return math.sqrt(2.0 * brake_m_per_s2 * max(0.0, distance_m))


@kernel
def command(
    vx: float,
    vy: float,
    want_x: float,
    want_y: float,
    top_m_per_s: float,
    tau_s: float,
    brake_m_per_s2: float,
    settle_s: float,
) -> tuple[float, float]:
    """The ``u`` to hold for a step so that velocity goes to ``want`` within ``settle`` seconds if the body can.

    The change asked for is ``(want − v)/settle``. Speeding up may use all of the
    law (``|u| ≤ V``); slowing down is held to ``b``, because the bare law would
    brake at ``(V + v)/τ``, far more than anyone does.
    """
    change_x, change_y = (want_x - vx) / settle_s, (want_y - vy) / settle_s
    size = max(SAME_PLACE_M, span(change_x, change_y))
    slow_x, slow_y = change_x * brake_m_per_s2 / size, change_y * brake_m_per_s2 / size
    brakes = change_x * vx + change_y * vy < 0.0 and size > brake_m_per_s2
    change_x, change_y = slow_x if brakes else change_x, slow_y if brakes else change_y
    ux, uy = vx + tau_s * change_x, vy + tau_s * change_y
    pull = max(SAME_PLACE_M, span(ux, uy))
    held_x, held_y = ux * top_m_per_s / pull, uy * top_m_per_s / pull
    held = pull > top_m_per_s and change_x * vx + change_y * vy >= 0.0
    return held_x if held else ux, held_y if held else uy

"""Passing lanes: how far inside a lane a defender can be when the ball comes by, and what that costs."""

from __future__ import annotations

from typing import Final

from courtwright.engine import kernel
from courtwright.floor.movement import SLACK_M, reach_gap_m, span
from courtwright.floor.shots import sigmoid

FLAT_PASS_M: Final = 5.0
LONG_PASS_M: Final = 8.0
"""So long a pass flies over its middle, and only its last stretch can be cut; a short one is flat (ours)."""
FAR_OFF_M: Final = 3.0
"""A hand farther from the ball than this gets nothing (less than one pass in 10,000)."""
FIRST_M: Final = 1.0
LAST_M: Final = 1.8


@kernel
def lane_cut(
    from_x: float,
    from_y: float,
    to_x: float,
    to_y: float,
    flight_s: float,
    x: float,
    y: float,
    vx: float,
    vy: float,
    reaction_s: float,
    top_m_per_s: float,
    tau_s: float,
    arm_m: float,
    weight: float,
    shift_m: float,
    softness_m: float,
) -> float:
    """Chance that a defender gets a pass: a logistic of how far inside its lane his hand can be when it comes by.

    He is tried at the lane point nearest to him. The first metre cannot be cut.
    Between a flat pass and a long one the two chances are mixed, so that nothing
    jumps while a receiver is dragged.
    """
    lane_m = span(to_x - from_x, to_y - from_y)
    if lane_m < 1e-6:
        return 0.0
    ux, uy = (to_x - from_x) / lane_m, (to_y - from_y) / lane_m
    near_m = max(FIRST_M, min((x - from_x) * ux + (y - from_y) * uy, lane_m - 0.2))
    late_m = max(near_m, lane_m - LAST_M)
    over = 0.0 if late_m <= near_m else min(1.0, max(0.0, (lane_m - FLAT_PASS_M) / (LONG_PASS_M - FLAT_PASS_M)))
    fastest = max(top_m_per_s, span(vx, vy))
    chance = 0.0
    for part in range(2):
        share, along_m = (1.0 - over, near_m) if part == 0 else (over, late_m)
        if share > 0.0:
            free_s = max(0.0, flight_s * along_m / lane_m - reaction_s)
            px, py = from_x + ux * along_m, from_y + uy * along_m
            if span(px - x, py - y) - fastest * free_s - arm_m > FAR_OFF_M + SLACK_M:
                continue
            spare_m = reach_gap_m(px, py, x, y, vx, vy, top_m_per_s, tau_s, free_s) - arm_m
            if spare_m < FAR_OFF_M:
                chance += share * sigmoid(-(spare_m + shift_m) / softness_m)
    return weight * chance

"""Passing lanes: how far inside a lane a defender can be when the ball comes by."""

from __future__ import annotations

from courtwright.engine import kernel
from courtwright.floor.movement import reach_gap_m, span

ARM_SHARE = 0.0044
"""Metres of arm for each centimetre of height (0.44 of height, from memory of segment tables)."""
LONG_PASS_M = 6.5
"""A longer pass flies over its middle; only its last stretch can be cut (ours)."""


@kernel
def lane_spare_m(
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
    height_cm: float,
) -> float:
    """Room between a defender's hand and the ball where he is nearest to the lane; negative where he can touch it.

    He is tried at the lane point nearest to him. The first metre cannot be cut.
    """
    lane_m = span(to_x - from_x, to_y - from_y)
    if lane_m < 1e-6:
        return 9.0
    ux, uy = (to_x - from_x) / lane_m, (to_y - from_y) / lane_m
    along_m = (x - from_x) * ux + (y - from_y) * uy
    along_m = max(1.0, min(along_m, lane_m - 0.2))
    if lane_m > LONG_PASS_M:
        along_m = max(along_m, lane_m - 1.8)
    free_s = max(0.0, flight_s * along_m / lane_m - reaction_s)
    gap_m = reach_gap_m(from_x + ux * along_m, from_y + uy * along_m, x, y, vx, vy, top_m_per_s, tau_s, free_s)
    return gap_m - ARM_SHARE * height_cm

"""How often shots go in: logistic fits to a published shot table, merged and capped.

The table is a professional men's season (127,348 attempts, NBA 2014-15, by
distance and nearest defender; see the bibliography). Zone fits, with ``d`` the
distance and ``D`` the defender's distance in metres, ``C`` 1 for a catch:

    at the rim     −0.174 − 0.403 d + 1.127 D + 0.324 C      (d < 1.83)
    between        −0.355 − 0.101 d + 0.325 D + 0.064 C
    beyond the arc  0.894 − 0.254 d + 0.194 D + 0.086 C

The two inside fits disagree by .11 at their border, right where helped finishes
are taken, so between the bin centres 1.37 m and 2.44 m their log-odds are mixed
linearly. A defender nearer than .75 m takes a further 1.1 log-odds per metre off
a three (the fit is .30 where .235 is seen). The defender's distance is held
within what the table holds. Averages, not causes: good shooters take the open
ones, so the slope carries a factor per level (pivoted at a middling distance).
Fouled misses are not attempts and blocks are misses, in the table and here.
"""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel

RIM_END_M: Final = 1.37
MID_START_M: Final = 2.44
SMOTHERED_M: Final = 0.75
FOUL_AT_RIM: Final = 0.14
"""Most that a finish draws a shooting foul (ours; fades to nothing at 3 m)."""


@kernel
def sigmoid(x: float) -> float:
    """``1/(1 + exp(−x))``, safe far out."""
    if x < -40.0:
        return 0.0
    return 1.0 / (1.0 + math.exp(-x))


@kernel
def rim_logit(distance_m: float, gap_m: float, catch: float, slope: float) -> float:
    """Log-odds of the fit at the rim; the slope factor turns about a gap of 1.0 m."""
    gap_m = min(max(gap_m, 0.45), 2.6)
    return -0.174 - 0.403 * distance_m + 1.127 * (1.0 + slope * (gap_m - 1.0)) + 0.324 * catch


@kernel
def mid_logit(distance_m: float, gap_m: float, catch: float, slope: float) -> float:
    """Log-odds of the fit between rim and arc; the slope factor turns about a gap of 1.3 m."""
    gap_m = min(max(gap_m, 0.3), 3.05)
    return -0.355 - 0.101 * distance_m + 0.325 * (1.3 + slope * (gap_m - 1.3)) + 0.064 * catch


@kernel
def three_logit(distance_m: float, gap_m: float, catch: float, slope: float) -> float:
    """Log-odds of the fit beyond the arc; the slope factor turns about a gap of 1.7 m."""
    gap_m = min(max(gap_m, 0.3), 3.05)
    smothered = 1.1 * max(0.0, SMOTHERED_M - gap_m)
    return 0.894 - 0.254 * distance_m + 0.194 * (1.7 + slope * (gap_m - 1.7)) - slope * smothered + 0.086 * catch


@kernel
def make_chance(
    distance_m: float,
    gap_m: float,
    catch: float,
    beyond_arc: bool,
    slope: float,
    rim_offset: float,
    mid_offset: float,
    three_offset: float,
) -> float:
    """Chance that a shot goes in.

    Parameters
    ----------
    distance_m
        From the point under the ring.
    gap_m
        To the nearest defender at release.
    catch
        1 for a shot off the catch, 0 off the dribble.
    slope
        How much the gap matters, 1 in the table.
    rim_offset, mid_offset, three_offset
        Log-odds added for level and player.
    """
    if beyond_arc:
        logit = three_logit(distance_m, gap_m, catch, slope) + three_offset
    else:
        far = min(1.0, max(0.0, (distance_m - RIM_END_M) / (MID_START_M - RIM_END_M)))
        logit = (1.0 - far) * (rim_logit(distance_m, gap_m, catch, slope) + rim_offset)
        logit += far * (mid_logit(distance_m, gap_m, catch, slope) + mid_offset)
    return min(0.93, 1.0 / (1.0 + math.exp(-logit)))


@kernel
def foul_chance(distance_m: float, gap_m: float) -> float:
    """Chance that an inside shot draws a foul: up to .14 within 1.3 m, nothing from 3 m, less when nobody is near.

    Ours, sized so that foul trips come out near one for ten shots.
    """
    near = min(1.0, max(0.0, (3.0 - distance_m) / 1.7))
    pressed = min(1.0, max(0.0, (1.8 - gap_m) / 1.2))
    return FOUL_AT_RIM * near * pressed

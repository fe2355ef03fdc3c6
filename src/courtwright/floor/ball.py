"""How the ball moves: passes with drag, shots as projectiles, where misses come down.

Metres, seconds, radians; g = 9.80665 m/s².
"""

from __future__ import annotations

import math
from typing import Final

from courtwright.engine import kernel
from courtwright.floor.movement import span

GRAVITY_M_PER_S2: Final = 9.80665
DRAG_PER_M: Final = 0.0230
"""``k = ρ C A / 2m`` of a size-7 ball with drag coefficient .5 (derived in the bibliography)."""
SLACK_M: Final = 1e-9
FOUR_DEGREES: Final = math.radians(4.0)
RELEASE_HEIGHT_PER_CM: Final = 0.0125
"""Metres of release height for each centimetre of standing height (a jump shot at 1.25 of height; ours)."""
FLY_ON: Final = 0.2
FAN: Final = math.radians(100.0)
"""Width of the fan in which a miss flies on in the shot's direction (ours)."""


@kernel
def pass_flight_s(distance_m: float, speed_m_per_s: float, drag_per_m: float) -> float:
    """Flight time of a straight pass slowed by drag: ``t = (exp(k d) − 1)/(k v)``."""
    if drag_per_m <= 0.0:
        return distance_m / speed_m_per_s
    return (math.exp(drag_per_m * distance_m) - 1.0) / (drag_per_m * speed_m_per_s)


@kernel
def pass_distance_m(t_s: float, speed_m_per_s: float, drag_per_m: float) -> float:
    """How far such a pass has come after ``t``: ``d = ln(1 + k v t)/k``."""
    if drag_per_m <= 0.0:
        return speed_m_per_s * t_s
    return math.log(1.0 + drag_per_m * speed_m_per_s * t_s) / drag_per_m


@kernel
def pass_speed_at(distance_m: float, usual_m_per_s: float) -> float:
    """Speed of a pass: long ones are thrown harder, up to a fifth more from 5 m to 11 m (ours, a guess)."""
    return usual_m_per_s * (1.0 + 0.2 * min(1.0, max(0.0, (distance_m - 5.0) / 6.0)))


@kernel
def least_speed_angle(distance_m: float, rise_m: float) -> float:
    """Release angle of the softest shot: ``45° + ½ atan(h/L)`` (Brancazio 1981)."""
    return math.pi / 4.0 + 0.5 * math.atan2(rise_m, distance_m)


@kernel
def least_speed_m_per_s(distance_m: float, rise_m: float) -> float:
    """Speed of the softest shot: ``v² = g(h + √(h² + L²))``; nothing slower reaches the ring."""
    return math.sqrt(GRAVITY_M_PER_S2 * (rise_m + span(rise_m, distance_m)))


@kernel
def release_speed_m_per_s(distance_m: float, rise_m: float, angle: float) -> float:
    """Speed that carries a shot released at ``angle``: ``v² = g L²/(2 cos²θ (L tan θ − h))``.

    Returns infinity where the line of release passes below the ring.
    """
    room_m = distance_m * math.tan(angle) - rise_m
    if room_m <= SLACK_M:
        return math.inf
    return math.sqrt(GRAVITY_M_PER_S2 * distance_m * distance_m / (2.0 * math.cos(angle) * math.cos(angle) * room_m))


@kernel
def shot_flight_s(distance_m: float, rise_m: float, angle: float) -> float:
    """Flight time of that shot: ``L/(v cos θ)``."""
    return distance_m / (release_speed_m_per_s(distance_m, rise_m, angle) * math.cos(angle))


@kernel
def entry_angle(distance_m: float, rise_m: float, angle: float) -> float:
    """Angle below the horizontal at the ring: ``atan(tan θ − 2h/L)`` turned over."""
    return math.atan(math.tan(angle) - 2.0 * rise_m / distance_m)


@kernel
def usual_flight_s(distance_m: float, release_height_m: float, ring_height_m: float) -> float:
    """Flight time of an ordinary shot: the softest angle plus four degrees (Slegers et al.: 3.9° in 16 men)."""
    far_m = max(distance_m, 0.6)
    rise_m = ring_height_m - release_height_m
    return shot_flight_s(far_m, rise_m, least_speed_angle(far_m, rise_m) + FOUR_DEGREES)


@kernel
def rebound_scale_m(shot_distance_m: float) -> float:
    """Scale of the Rayleigh law for how far from the ring a miss comes down.

    97.5 % of misses pass through 8 ft within 4.33 m of the ring, nearer for
    shorter shots (Maheswaran et al. 2012). A Rayleigh law has its 97.5 % point at
    2.716 scales; ``1.15 + 0.1 d`` meets that over a usual mix of shots, with lay-ups
    at 3.4 m and threes at 5.1 m before the board turns some back. The slope is ours.
    """
    return 1.15 + 0.1 * min(shot_distance_m, 8.0)


@kernel
def rebound_point(
    shot_x: float, shot_y: float, radius_draw: float, side_draw: float, angle_draw: float, board_y: float
) -> tuple[float, float]:
    """Where a miss comes down, from three uniform draws.

    One in five flies on in the shot's direction within 50°, the rest leave the ring
    in any direction; a point behind the board is turned back. That puts about half
    of the corner misses on the far side (published counts disagree: see the
    bibliography).
    """
    distance_m = span(shot_x, shot_y)
    radius_m = rebound_scale_m(distance_m) * math.sqrt(-2.0 * math.log(1.0 - radius_draw))
    angle = 2.0 * math.pi * angle_draw
    if side_draw < FLY_ON and distance_m > SLACK_M:
        angle = math.atan2(-shot_y, -shot_x) + FAN * (angle_draw - 0.5)
    x, y = radius_m * math.cos(angle), radius_m * math.sin(angle)
    if y < board_y:
        y = 2.0 * board_y - y
    return x, y

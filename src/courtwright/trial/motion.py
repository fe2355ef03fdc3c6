"""Distances and directions on the floor, and what bodies may not do."""

from __future__ import annotations

from typing import Final

from courtwright.engine import inner
from courtwright.floor.movement import span
from courtwright.trial import layout as at
from courtwright.trial.layout import World

EXTRA_SAG: Final = 0.65
"""A defender more than the attack has waits this far toward the ring, behind the one who guards (ours)."""
BODY_M: Final = 0.35
"""Bodies do not come nearer, centre to centre (ours: a little over half a shoulder width)."""
BEHIND_M: Final = -1.4
"""How far behind the ring the floor goes before the wall of the board's support and the end line."""
AT_ONCE: Final = -1.0
"""In place of the greatest speed on the way to a goal: the two numbers are a velocity, not a place."""
SLIDE_START: Final = 0.7
"""A slide's time constant over the sprint's (ours)."""


@inner
def distance_m(w: World, one: int, other: int) -> float:
    """Metres between two players."""
    return span(w.here[one, 0] - w.here[other, 0], w.here[one, 1] - w.here[other, 1])


@inner
def distance_to_m(w: World, player: int, x: float, y: float) -> float:
    """Metres from a player to a place."""
    return span(x - w.here[player, 0], y - w.here[player, 1])


@inner
def toward(from_x: float, from_y: float, to_x: float, to_y: float) -> tuple[float, float, float]:
    """Unit vector and distance from one point to another; no direction when they coincide."""
    x, y = to_x - from_x, to_y - from_y
    away_m = span(x, y)
    if away_m < 1e-9:
        return 0.0, 0.0, 0.0
    return x / away_m, y / away_m, away_m


@inner
def ahead_m(w: World, defender: int, driver: int) -> float:
    """How far a defender is in front of a driver, along the driver's way to his goal."""
    ux, uy, _ = toward(w.here[driver, 0], w.here[driver, 1], w.goal_x, w.goal_y)
    return (w.here[defender, 0] - w.here[driver, 0]) * ux + (w.here[defender, 1] - w.here[driver, 1]) * uy


@inner
def keep_on_floor(w: World, player: int) -> None:
    """Nobody leaves the floor; who comes to its edge stops there."""
    side = w.rules[at.SIDE_X]
    for axis in range(2):
        low, high = (-side, side) if axis == 0 else (BEHIND_M, w.rules[at.FAR_Y])
        if w.here[player, axis] < low or w.here[player, axis] > high:
            w.here[player, axis] = min(max(w.here[player, axis], low), high)
            w.velocity[player, axis] = 0.0


@inner
def keep_apart(w: World) -> None:
    """Bodies that overlap give way by halves."""
    for one in range(w.players):
        x, y = w.here[one, 0], w.here[one, 1]
        for other in range(one + 1, w.players):
            dx, dy = w.here[other, 0] - x, w.here[other, 1] - y
            if abs(dx) >= BODY_M or abs(dy) >= BODY_M:
                continue
            away_m = span(dx, dy)
            if 1e-9 < away_m < BODY_M:
                give = 0.5 * (BODY_M - away_m) / away_m
                w.here[one, 0] -= dx * give
                w.here[one, 1] -= dy * give
                w.here[other, 0] += dx * give
                w.here[other, 1] += dy * give
                x, y = w.here[one, 0], w.here[one, 1]


@inner
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

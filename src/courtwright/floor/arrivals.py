"""Who is first at many places: the space map's kernels. Reactions are left out."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import inner, kernel
from courtwright.floor import body as its
from courtwright.floor.movement import NEVER_S, arrival_s, span
from courtwright.floor.scene import Scene


@inner
def soonest_s(s: Scene, player: int, x: float, y: float) -> float:
    """No later than a player can be at a place: as if he ran straight at it at the fastest he ever is."""
    fastest: float = max(s.body[player, its.TOP], span(s.velocity[player, 0], s.velocity[player, 1]))
    away_m = span(x - s.here[player, 0], y - s.here[player, 1])
    return away_m / fastest


@inner
def arrives_s(s: Scene, player: int, x: float, y: float, until_s: float) -> float:
    """When a player can first be at a place, if he can by then."""
    here, velocity, body = s.here[player], s.velocity[player], s.body[player]
    return arrival_s(x, y, here[0], here[1], velocity[0], velocity[1], body[its.TOP], body[its.TAU], until_s)


@inner
def first_there(s: Scene, x: float, y: float) -> tuple[int, float]:
    """Who is first at a place and when; of equals the first in order.

    The likeliest is tried first; whoever could not be sooner at his very fastest is not looked at, and that is most.
    """
    first, least_s = 0, NEVER_S
    for player in range(s.players):
        bound_s = soonest_s(s, player, x, y)
        if bound_s < least_s:
            first, least_s = player, bound_s
    best_s = arrives_s(s, first, x, y, NEVER_S)
    for player in range(s.players):
        if player != first and soonest_s(s, player, x, y) <= best_s:
            time_s = arrives_s(s, player, x, y, best_s)
            if time_s < best_s or (time_s == best_s and player < first):
                first, best_s = player, time_s
    return first, best_s


@kernel
def first_arrivals(
    s: Scene, cells: NDArray[np.float64], owners: NDArray[np.int64], times_s: NDArray[np.float64]
) -> None:
    """Who is first at each cell, and when."""
    for cell in range(cells.shape[0]):
        owners[cell], times_s[cell] = first_there(s, cells[cell, 0], cells[cell, 1])


@kernel
def attack_shares(s: Scene, bodies: NDArray[np.float64], cells: NDArray[np.float64], out: NDArray[np.float64]) -> None:
    """The share of the cells at which an attacker is first, under each set of parameters."""
    for draw in range(bodies.shape[0]):
        s.body[: s.players] = bodies[draw]
        attacked = 0
        for cell in range(cells.shape[0]):
            first, _ = first_there(s, cells[cell, 0], cells[cell, 1])
            attacked += 1 if first < s.attackers else 0
        out[draw] = attacked / cells.shape[0]

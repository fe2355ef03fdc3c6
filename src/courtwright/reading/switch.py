"""The switch: whether early help costs anything turns on the three-point share of the man who is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from courtwright.engine import COMPILED, plain
from courtwright.floor import body as its
from courtwright.floor.early import early_costs
from courtwright.floor.shots import make_chance
from courtwright.reading.estimate import HIGH, LOW, SMALLEST
from courtwright.reading.prepare import Array, Setting

SHARES: Final = (0.20, 0.25, 0.30, 0.35, 0.40, 0.45)
"""Open threes made by the man who is left."""
SETS: Final = 64
"""Parameter sets of a curve: each of its points is a reading of its own."""
OPEN_M: Final = 3.05
DEAR: Final = SMALLEST
"""From so many points on early help counts as costing something."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """The share of open threes from which early help costs something: middle set, and where eight of ten lie.

    An end is nothing where it lies off the curve.
    """

    low: float | None
    middle: float | None
    high: float | None
    dear_at_once: float
    """share of sets in which it costs something at any share"""
    free_always: float
    """share of sets in which it costs nothing at any share"""

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {
            "low": self.low,
            "middle": self.middle,
            "high": self.high,
            "unit": "share of open threes made",
            "sets_dear_at_once": self.dear_at_once,
            "sets_free_always": self.free_always,
        }


def early_curve(setting: Setting, helper: int, *, engine: str = "numba") -> dict[float, Array] | None:
    """Per share and set what leaving on dribble 1 costs; nothing where the man left has the ball or is inside the arc.

    ``helper`` is his place among the defenders.
    """
    defender = setting.attackers + helper
    man = int(setting.guard[defender])
    x, y = setting.moment.placed_m()[setting.figures[man]]
    if man == setting.holder or not setting.moment.floor.beyond_arc(x, y):
        return None
    bodies = np.ascontiguousarray(setting.bodies[:SETS])
    slopes, distance_m = bodies[:, man, its.PRESSURE], float(np.hypot(x, y))
    logits = np.array([[offset_for(share, distance_m, float(slope)) for share in SHARES] for slope in slopes])
    costs = np.zeros_like(logits)
    compiled = COMPILED and engine == "numba"
    (early_costs if compiled else plain(early_costs))(
        setting.scene(turns=False, compiled=compiled),
        defender,
        bodies,
        np.ascontiguousarray(setting.assumed[:SETS]),
        setting.worth.reset[:SETS],
        setting.worth.fouled[:SETS],
        logits,
        costs,
    )
    return {share: costs[:, index].copy() for index, share in enumerate(SHARES)}


def crossing_of(curve: dict[float, Array]) -> Crossing:
    """Where each set's curve crosses, straight between its points; then the middle and the ends of all sets."""
    found = np.sort([_crosses_at(cost) for cost in np.array([curve[share] for share in SHARES]).T])
    low, middle, high = (_on_curve(found[round(part * (len(found) - 1))]) for part in (LOW, 0.5, HIGH))
    return Crossing(low, middle, high, float(np.mean(found == -np.inf)), float(np.mean(found == np.inf)))


def _on_curve(share: float) -> float | None:
    return None if np.isinf(share) else round(float(share), 3)


def _crosses_at(cost: Array) -> float:
    """The first share from which early help costs something in one set; infinite where the curve does not cross."""
    dear = np.flatnonzero(cost >= DEAR)
    if len(dear) == 0:
        return float(np.inf)
    if dear[0] == 0:
        return float(-np.inf)
    after = int(dear[0])
    way = (DEAR - cost[after - 1]) / (cost[after] - cost[after - 1])
    return float(SHARES[after - 1] + way * (SHARES[after] - SHARES[after - 1]))


def offset_for(share: float, distance_m: float, slope: float) -> float:
    """The log-odds a shooter must be given so that his open catch from there goes in so often."""
    usual = make_chance(distance_m, OPEN_M, 1.0, True, slope, 0.0, 0.0, 0.0)
    return float(np.log(share / (1 - share)) - np.log(usual / (1 - usual)))

"""The switch: whether early help costs anything turns on the three-point share of the man who is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from courtwright.floor.shots import make_chance
from courtwright.reading.estimate import HIGH, LOW, SMALLEST
from courtwright.reading.prepare import Array

SHARES: Final = (0.20, 0.25, 0.30, 0.35, 0.40, 0.45)
"""Open threes made by the man who is left."""
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

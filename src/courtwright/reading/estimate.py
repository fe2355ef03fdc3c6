"""What many parameter sets say together: a mean, a range, and how sure a sign is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

LOW: Final = 0.1
HIGH: Final = 0.9
SURE: Final = 0.9
SMALLEST: Final = 0.03
"""Differences under this many points are level."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """Mean over the parameter sets (never the middle set alone: it jumps) and the 10 % and 90 % points."""

    mean: float
    low: float
    high: float
    unit: str

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {"mean": self.mean, "low": self.low, "high": self.high, "unit": self.unit}


def estimate(values: NDArray[np.float64], unit: str) -> Estimate:
    """Mean and range over the sets."""
    ordered = np.sort(values)
    mean, low, high = float(ordered.mean()), _point(ordered, LOW), _point(ordered, HIGH)
    return Estimate(round(mean, 4), round(low, 4), round(high, 4), unit)


def _point(ordered: NDArray[np.float64], share: float) -> float:
    """A quantile of sorted values, straight between two; `numpy.quantile` says the same in twenty times the time."""
    place = share * (len(ordered) - 1)
    first = int(place)
    low, high = float(ordered[first]), float(ordered[min(first + 1, len(ordered) - 1)])
    return low + (place - first) * (high - low)


def sure_sign(difference: NDArray[np.float64]) -> int:
    """1 or −1 where nine sets of ten agree and the median is at least .03; 0 where it could go either way."""
    middle = float(np.median(difference))
    if abs(middle) < SMALLEST:
        return 0
    agree = float(np.mean(np.sign(difference) == np.sign(middle)))
    return int(np.sign(middle)) if agree >= SURE else 0

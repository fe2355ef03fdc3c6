"""What many parameter sets say together: a mean, a range, and how sure a sign is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

LOW, HIGH = 0.1, 0.9
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
    low, high = np.quantile(values, [LOW, HIGH])
    return Estimate(round(float(values.mean()), 4), round(float(low), 4), round(float(high), 4), unit)


def sure_sign(difference: NDArray[np.float64]) -> int:
    """1 or −1 where nine sets of ten agree and the median is at least .03; 0 where it could go either way."""
    middle = float(np.median(difference))
    if abs(middle) < SMALLEST:
        return 0
    agree = float(np.mean(np.sign(difference) == np.sign(middle)))
    return int(np.sign(middle)) if agree >= SURE else 0

"""How points and time are spread: a few quantiles, and shares by bins."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.trial.runs import LENGTH_BIN_S

SHARES: Final = (0.1, 0.25, 0.5, 0.75, 0.9)
SHOWN_S: Final = 1.0
"""Bins are shown this wide."""


@dataclass(frozen=True, slots=True)
class LengthOfPossessions:
    """How long possessions last, over all runs."""

    bins: tuple[tuple[float, float, float], ...]
    """from, up to, share of possessions; the last goes on beyond its end"""
    reached: tuple[tuple[float, float], ...]
    """share of possessions, and the seconds they do not go beyond"""

    def sentence(self) -> str:
        """The spread in words."""
        _, lower, _, upper, long = (length_s for _, length_s in self.reached)
        return f"Half of all possessions last {lower:.1f} to {upper:.1f} s, one in ten longer than {long:.1f} s."

    def to_json(self) -> dict[str, Any]:
        """Plain JSON data."""
        return {
            "bins": [{"from_s": low, "to_s": high, "share_of_possessions": share} for low, high, share in self.bins],
            "quantiles": [{"share_of_possessions": share, "up_to_s": length_s} for share, length_s in self.reached],
        }


def points_reached(points: NDArray[np.float64]) -> tuple[tuple[float, float], ...]:
    """What so many of the runs do not go beyond, in whole points."""
    values = np.quantile(points, SHARES, method="inverted_cdf")
    return tuple((share, float(value)) for share, value in zip(SHARES, values, strict=True))


def possession_lengths(counts: NDArray[np.integer[Any]]) -> LengthOfPossessions:
    """The spread of lengths from counts by bin, shape (runs, bins)."""
    shares = counts.sum(axis=0) / max(1, int(counts.sum()))
    reached = tuple((share, round(_reached_s(shares, share), 1)) for share in SHARES)
    return LengthOfPossessions(tuple(_shown(shares)), reached)


def _reached_s(shares: NDArray[np.float64], share: float) -> float:
    """The length that so many do not go beyond; within a bin they lie as if evenly."""
    up_to = np.cumsum(shares)
    found = min(int(np.searchsorted(up_to, share - 1e-12)), len(shares) - 1)
    inside = (share - (up_to[found] - shares[found])) / shares[found] if shares[found] > 0 else 0.0
    return float(LENGTH_BIN_S * (found + inside))


def _shown(shares: NDArray[np.float64]) -> list[tuple[float, float, float]]:
    """Wider bins, up to the last in which anything fell."""
    each = round(SHOWN_S / LENGTH_BIN_S)
    padded = np.concatenate([shares, np.zeros(-len(shares) % each)])
    wide = padded.reshape(-1, each).sum(axis=1)
    filled = np.flatnonzero(wide)
    last = int(filled[-1]) + 1 if len(filled) else 1
    return [(n * SHOWN_S, (n + 1) * SHOWN_S, round(float(share), 4)) for n, share in enumerate(wide[:last])]

"""A player's counts as a page gives them: a share with its interval, or the count alone where there is no denominator.

Pages use `LEVEL` throughout. What was *seen* has a Wilson interval, which is near
its level also for few tries; what is *likely* for the player is shrunk to the
group (`courtwright.review.shrinkage`), with whom they are compared.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from courtwright.review.intervals import Interval, wilson
from courtwright.review.shrinkage import shrunk

LEVEL: Final = 0.9
DIGITS: Final = 4


@dataclass(frozen=True, slots=True)
class Rate:
    """A share that was seen, and the one that is likely."""

    hits: int
    of: int
    seen: Interval | None
    """None before the first try"""
    mean: float
    """of what is likely for this player, given the group"""
    likely: Interval

    @property
    def share(self) -> float | None:
        """Hits by tries."""
        return self.hits / self.of if self.of else None

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {
            "hits": self.hits,
            "of": self.of,
            "share": None if self.share is None else round(self.share, DIGITS),
            "seen": None if self.seen is None else [round(end, DIGITS) for end in self.seen],
            "mean": round(self.mean, DIGITS),
            "likely": [round(end, DIGITS) for end in self.likely],
            "level": LEVEL,
        }


@dataclass(frozen=True, slots=True)
class Count:
    """How often something was told, where nobody told how often it could have been."""

    count: int

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {"count": self.count, "of": None}


def rates(counts: Mapping[str, tuple[int, int]], *, seed: int = 0) -> dict[str, Rate]:
    """Rates of a group, by name, from hits and tries; in the order given, which is never one of merit."""
    if not counts:
        return {}
    group = shrunk([hits for hits, _ in counts.values()], [of for _, of in counts.values()], seed=seed)
    return {
        name: Rate(
            hits,
            of,
            wilson(hits, of, LEVEL) if of else None,
            float(group.shares[place].mean()),
            group.interval(place, LEVEL),
        )
        for place, (name, (hits, of)) in enumerate(counts.items())
    }

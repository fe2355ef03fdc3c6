"""The clock of a run. It lives on wall time, so it survives sleep; and on the server's, so devices need not agree."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from courtwright.vocabulary import Fact, FactKind


@dataclass(frozen=True, slots=True)
class Clock:
    """Time played when it was last touched and, if it runs, the server's time then."""

    running: bool = False
    played_ms: int = 0
    server_ms: int = 0
    ended: bool = False

    def played_at_ms(self, server_ms: int) -> int:
        """Time played at a moment of the server's clock."""
        return self.played_ms + (max(0, server_ms - self.server_ms) if self.running else 0)

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return asdict(self)


def clock_of(facts: Iterable[Fact]) -> Clock:
    """The clock after every touch, in the order they were told.

    A touch says how much had been played as its device showed it, so no two
    devices' clocks are ever subtracted from each other.
    """
    clock = Clock()
    touches = (fact for fact in facts if fact.kind is FactKind.CLOCK)
    for fact in sorted(touches, key=lambda one: (one.time.wall_ms, one.time.counter, one.device, one.sequence)):
        do, played_ms, server_ms = (fact.detail[key] for key in ("do", "played_ms", "server_ms"))
        if do == "set":
            clock = Clock(clock.running, played_ms, server_ms, clock.ended)
        elif not (do == "start" and clock.running):  # two devices start it together: the first has
            clock = Clock(do == "start", played_ms, server_ms, do == "end" or (clock.ended and do == "stop"))
    return clock

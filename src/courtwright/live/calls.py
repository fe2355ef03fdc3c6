"""What happened in a possession, as one or several devices called it.

What two devices call the same in one possession is one thing: the first make of
one is the first make of the other. So two scorers give one result, and what
either left out is filled in from the other.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any, Final

from courtwright.vocabulary import Fact, FactKind

PLAY: Final = frozenset(
    {
        FactKind.MAKE,
        FactKind.MISS,
        FactKind.OFFENSIVE_REBOUND,
        FactKind.DEFENSIVE_REBOUND,
        FactKind.TURNOVER,
        FactKind.STEAL,
        FactKind.FOUL,
        FactKind.FREE_THROW,
        FactKind.CHARGE,
        FactKind.VIOLATION,
        FactKind.DEFLECTION,
        FactKind.BLOCK,
        FactKind.PAINT_TOUCH,
        FactKind.BOX_OUT,
        FactKind.EXTRA_PASS,
        FactKind.KICK_OUT,
        FactKind.TAG,
    }
)
"""Kinds that happen on the floor; all others are the coach's."""

_SAME: Final[dict[FactKind, tuple[str, ...]]] = {
    FactKind.VIOLATION: ("rule",),
    FactKind.TAG: ("tag", "who"),
}
"""Details that must agree for two calls of a kind to be the same thing."""


@dataclass
class Call:
    """One thing that happened, by everyone who called it."""

    kind: FactKind
    detail: dict[str, Any]
    event: str
    """the fact that told it first"""
    segment: int
    """0, or which replay of a frozen moment it belongs to"""
    called_by: list[str]
    events: list[str]
    disputes: list[dict[str, Any]] = field(default_factory=list)
    counted: bool = True
    player: str = ""
    """who stood at the figure named when it was called"""
    passer: str = ""

    def join(self, fact: Fact) -> None:
        """Another device calls it too: fill in what is missing, keep what differs for the coach to see."""
        self.called_by.append(fact.device)
        self.events.append(fact.event_id)
        for key, value in fact.detail.items():
            if key not in self.detail:
                self.detail[key] = value
            elif self.detail[key] != value:
                self.disputes.append({"event": fact.event_id, "detail": key, "said": value})

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {
            "kind": self.kind.value,
            "detail": self.detail,
            "event": self.event,
            "events": self.events,
            "called_by": self.called_by,
            "segment": self.segment,
            "counted": self.counted,
            "disputes": self.disputes,
        }


def called(facts: Iterable[Fact]) -> list[Call | Fact]:
    """The facts of one possession in order, those from the floor as calls."""
    items: list[Call | Fact] = []
    found: dict[tuple[Any, ...], Call] = {}
    ranks: dict[tuple[Any, ...], int] = defaultdict(int)
    segment = 0
    for whole in facts:
        if whole.kind is FactKind.RUN_IT_AGAIN:
            segment += 1
        if whole.kind not in PLAY:
            items.append(whole)
            continue
        for fact in _parts(whole):
            same = (segment, fact.kind, *(fact.detail.get(key) for key in _SAME.get(fact.kind, ())))
            rank = ranks[fact.device, *same]
            ranks[fact.device, *same] += 1
            if (call := found.get((rank, *same))) is not None:
                call.join(fact)
                continue
            call = Call(fact.kind, dict(fact.detail), fact.event_id, segment, [fact.device], [fact.event_id])
            found[rank, *same] = call
            items.append(call)
    return items


def _parts(fact: Fact) -> list[Fact]:
    """One tap may tell two things: a miss with its rebound, a turnover with its steal."""
    detail = dict(fact.detail)
    by = {"who": detail.pop("by")} if "by" in detail and fact.kind is not FactKind.CHARGE else {}
    if fact.kind is FactKind.MISS and (rebound := detail.pop("rebound", None)) is not None:
        kind = FactKind.OFFENSIVE_REBOUND if rebound == "offence" else FactKind.DEFENSIVE_REBOUND
        return [replace(fact, detail=detail), replace(fact, kind=kind, detail=by)]
    if fact.kind is FactKind.TURNOVER and by:
        return [replace(fact, detail=detail), replace(fact, kind=FactKind.STEAL, detail=by)]
    return [fact]

"""One possession: what ends it, what counts in it, and what each counted event brings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

from courtwright.live.calls import Call
from courtwright.live.force import AGAIN, DEFENCE, NO_POINTS, OFFENCE, POINT, TURNOVER, InForce, Worths
from courtwright.live.lineup import OnFloor
from courtwright.vocabulary import FactKind

OPEN, SKIPPED, STOP, FOUL = "open", "skipped", "stop", "foul"
LOST: Final = frozenset({FactKind.TURNOVER, FactKind.STEAL, FactKind.CHARGE, FactKind.VIOLATION})
"""One loss of the ball may be called by several of these."""

_EVENTS: Final = {
    FactKind.OFFENSIVE_REBOUND: "offensive_rebound",
    FactKind.DEFENSIVE_REBOUND: "defensive_rebound",
    FactKind.STEAL: "steal",
    FactKind.CHARGE: "charge",
    FactKind.DEFLECTION: "deflection",
    FactKind.PAINT_TOUCH: "paint_touch",
    FactKind.BOX_OUT: "box_out",
    FactKind.EXTRA_PASS: "extra_pass",
    FactKind.KICK_OUT: "kick_out_caught",
}
"""What a kind counts as in the point rules."""

TO_OFFENCE, TO_DEFENCE = "point_to_offence", "point_to_defence"
FROM_THE_START: Final = "again from the start"
STOPS_PAID: Final = (2, 3)


@dataclass
class Possession:
    """A possession as it was called, up to now."""

    number: int
    turn: int
    start: int
    """the variant it starts from, −1 the plain one"""
    floor: OnFloor
    result: str = OPEN
    ended_by: FactKind | None = None
    ended_in: int = -1
    """the segment in which it ended; −1 while it is open"""
    segment: int = 0
    segment_open: bool = True
    cost: str = ""
    """of the breach that ended it"""
    stop: bool = False
    void: bool = False
    touched: bool = False
    calls: list[Call] = field(default_factory=list)
    unsettled: list[dict[str, str]] = field(default_factory=list)
    """calls that came after the end and were not counted: for the coach to look at"""
    freezes: list[dict[str, Any]] = field(default_factory=list)
    earned: list[tuple[str, Worths]] = field(default_factory=list)
    """counted events with what each was worth when it was called"""
    ending: dict[str, Any] = field(default_factory=dict)
    """what the game said of endings when it ended"""
    end_worths: Worths = field(default_factory=dict)
    inserted: int = 0
    put_in: list[tuple[str, str]] = field(default_factory=list)
    """figure and player, by hand"""
    game: dict[str, Any] = field(default_factory=dict)
    """in force when it began"""
    watched: frozenset[str] = frozenset()
    """tags that somebody watched for"""

    @property
    def played(self) -> bool:
        """Whether anything happened in it."""
        return self.touched or self.result != OPEN

    @property
    def over(self) -> bool:
        """Whether the next call belongs to the next possession."""
        return self.result != OPEN and not self.segment_open

    def run_again(self) -> None:
        """A frozen moment is played from there."""
        self.segment += 1
        self.segment_open = True

    def skip(self) -> None:
        """It is left as it is."""
        self.segment_open = False
        if self.result == OPEN:
            self.result, self.ended_in = SKIPPED, self.segment

    def take(self, call: Call, force: InForce) -> None:
        """Add a call: count it, or note why it does not count."""
        if not self.touched:
            self.game = force.game
        self.touched = True
        self.calls.append(call)
        side, cost = force.breach(call.detail) if call.kind is FactKind.VIOLATION else ("", "")
        ends = self._ends(call, side, cost, force)
        if self.ended_in >= 0 and call.segment != self.ended_in:  # a replay of what has its result already
            call.counted = False
            self.segment_open = self.segment_open and not ends
            return
        if self.ended_in >= 0 and ends and not self._adds_to_the_end(call):
            call.counted = False
            others = len(set(call.called_by) - {device for other in self.calls[:-1] for device in other.called_by})
            why = "another result" if others else "after the end"
            self.unsettled.append({"event": call.event, "kind": call.kind.value, "why": why})
            return
        self._count(call, side, cost, force)
        if ends and (self.ended_in < 0 or call.kind is FactKind.MAKE):
            self._end(call, cost, force)

    def _ends(self, call: Call, side: str, cost: str, force: InForce) -> bool:
        if call.kind is FactKind.VIOLATION:
            return cost != NO_POINTS if side == OFFENCE else cost == AGAIN
        if call.kind is FactKind.OFFENSIVE_REBOUND:
            ending: str = force.game.get("ending", {}).get("offensive_rebound", "play on")
            return ending != "play on"
        return call.kind in (FactKind.MAKE, FactKind.DEFENSIVE_REBOUND, FactKind.FOUL) or call.kind in LOST

    def _adds_to_the_end(self, call: Call) -> bool:
        """Whether it is part of the same end: a charge that is the turnover, a foul with the basket."""
        before = {other.kind for other in self.calls[:-1] if other.segment == call.segment and other.counted}
        if call.kind in before:
            return False
        if call.kind in LOST:
            return self.ended_by in LOST
        return {call.kind, self.ended_by} == {FactKind.MAKE, FactKind.FOUL}

    def _count(self, call: Call, side: str, cost: str, force: InForce) -> None:
        detail, worths = call.detail, force.worths
        names = [_EVENTS[call.kind]] if call.kind in _EVENTS else []
        if call.kind is FactKind.MAKE:
            names = [f"make_{detail['zone']}"]
            names += ["make_assisted"] if detail.get("assist") else []
            names += ["make_kick_out"] if detail.get("kick_out") else []
        elif call.kind is FactKind.FREE_THROW and detail["made"]:
            names = ["free_throw_make"]
        elif call.kind is FactKind.VIOLATION and cost == POINT:
            names = [TO_DEFENCE if side == OFFENCE else TO_OFFENCE]
        elif call.kind is FactKind.VIOLATION and cost == NO_POINTS and side == OFFENCE:
            self.void = True
        self.earned += [(name, worths) for name in names]

    def _end(self, call: Call, cost: str, force: InForce) -> None:
        kind, who = call.kind, call.detail.get("who") or ""
        offensive_foul = kind is FactKind.FOUL and who != "" and not who.startswith("X")
        self.ended_by, self.ended_in, self.segment_open = kind, call.segment, False
        self.result = {
            FactKind.MAKE: f"make {call.detail.get('zone')}",
            FactKind.DEFENSIVE_REBOUND: STOP,
            FactKind.OFFENSIVE_REBOUND: "offensive rebound",
            FactKind.FOUL: TURNOVER if offensive_foul else FOUL,
            FactKind.VIOLATION: "violation",
        }.get(kind, TURNOVER)
        self.stop = kind is FactKind.DEFENSIVE_REBOUND or offensive_foul or (kind in LOST and cost != AGAIN)
        self.cost, self.ending, self.end_worths = cost, force.game.get("ending", {}), force.worths

    @property
    def again(self) -> bool:
        """Whether the same players go again from the start."""
        if self.ended_by is FactKind.MAKE and not self.void:
            return bool(self.ending.get("make") == FROM_THE_START)
        if self.result == FOUL:
            return bool(self.ending.get("foul", FROM_THE_START) == FROM_THE_START)
        return self.cost == AGAIN

    def attack_won(self, won: int, lost: int) -> bool:
        """Whether the offence has won it: by the points, where they are level by a basket or a foul drawn."""
        if won != lost:
            return won > lost
        return self.result == FOUL or (self.ended_by is FactKind.MAKE and not self.void)

    def counted(self) -> list[tuple[str, Worths]]:
        """The counted events; baskets of a possession that a breach made worthless are ``make_void``."""
        if not self.void:
            return self.earned
        return [("make_void" if name.startswith("make_") else name, worths) for name, worths in self.earned]

    @property
    def stopped(self) -> bool:
        """Whether the defence has a stop."""
        return self.stop or (self.void and self.ended_by is FactKind.MAKE)

    def points(self, streak: int) -> tuple[int, int]:
        """Points of the offence and of the defence; ``streak`` is the stops in a row before it."""
        won, lost = 0, 0
        events = self.counted()
        if self.stopped:
            events = [*events, *((name, self.end_worths) for name in stop_events(streak + 1))]
        for name, worths in events:
            won += worths[OFFENCE].get(name, 0) + (name == TO_OFFENCE)
            lost += worths[DEFENCE].get(name, 0) + (name == TO_DEFENCE)
        return won, lost


def stop_events(streak: int) -> list[str]:
    """What a stop counts as, with so many in a row now."""
    return ["stop", *(f"stops_{paid}" for paid in STOPS_PAID if streak % paid == 0)]

"""From facts to the state of a run. A pure function: whatever order the facts came in, the state is the same."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from courtwright.live.calls import PLAY, Call, called
from courtwright.live.clock import Clock, clock_of
from courtwright.live.corrections import corrected
from courtwright.live.force import InForce
from courtwright.live.lines import BY_RESULT, next_row, row_in_view
from courtwright.live.lineup import Lineup, OnFloor
from courtwright.live.possession import SKIPPED, Possession
from courtwright.live.tally import Tally
from courtwright.vocabulary import Fact, FactKind


def fold(opening: dict[str, Any], facts: Iterable[Fact]) -> State:
    """The state of a run.

    Parameters
    ----------
    opening
        As `Opening.to_json` gives it.
    facts
        Any number, in any order, doubled or not; each must have passed `checked`.
    """
    told = corrected(facts)
    state = State(opening, clock_of(told))
    held = [fact for fact in told if fact.kind is not FactKind.CLOCK]
    held.sort(key=_place)  # stable: within a possession they stay in order
    for (number, inserted), group in groupby(held, key=_place):
        state.play(number, inserted, list(group))
    return state


def _place(fact: Fact) -> tuple[int, int]:
    return fact.possession, fact.detail.get("inserted", 0) if fact.kind in PLAY else 0


class State:
    """A run after the facts so far."""

    def __init__(self, opening: dict[str, Any], clock: Clock) -> None:
        self.opening = opening
        self.clock = clock
        self.force = InForce(opening["game"], opening["register"])
        self.lineup = Lineup(opening["turns"])
        self.tally = Tally(len(opening["teams"]))
        self.possessions: list[Possession] = []
        self.claims: list[dict[str, Any]] = []
        self.tagging: dict[str, None] = {}
        """an ordered set"""
        self.freeze: dict[str, Any] | None = None
        """the last freeze, until play goes on"""
        self.last: Possession | None = None
        """the latest possession, played or not"""

    # --- one possession

    def play(self, number: int, inserted: int, facts: list[Fact]) -> None:
        """Fold the facts of one possession, which is later than all before."""
        here = self._begin(number)
        here.inserted = inserted
        watched = set(self.tagging)
        for item in called(facts):
            if isinstance(item, Call):
                self.freeze = None
                here.take(item, self.force)
                self.tally.credit(item, here.floor)
            else:
                self._apply(item, here)
                watched |= set(self.tagging)
        self.last = here
        here.watched = frozenset(watched)
        if here.played:
            here.game = here.game or self.force.game
            self.possessions.append(here)
            self.tally.settle(here, watched)
            self._decide_next(here)

    def _decide_next(self, here: Possession) -> None:
        """Where who wins decides who plays: the next turn's players. The same where nobody won."""
        if self.rule not in BY_RESULT or here.again:
            return
        won, lost = self.tally.points[here.number, here.inserted]
        row = here.floor.to_json()
        if here.result != SKIPPED:
            row = next_row(here.floor, here.attack_won(won, lost), self.rule, self.opening["teams"])
        self.lineup.decide(here.turn + 1, row)

    @property
    def rule(self) -> str:
        """Who plays next, by the game in force."""
        rule: str = self.force.game.get("rota", {}).get("rule", "")
        return rule

    def _coming(self, now: Possession) -> OnFloor:
        """Who plays after this possession, as far as it is known."""
        if now.again:
            return self.lineup.at(now.turn)
        if self.rule in BY_RESULT and not now.over:
            return self.lineup.filled(row_in_view(now.floor, self.rule, self.opening["teams"]))
        return self.lineup.at(now.turn + 1)

    def _begin(self, number: int) -> Possession:
        turn = self.next_turn
        return Possession(number, turn, self._start(number), self.lineup.at(turn))

    @property
    def next_turn(self) -> int:
        """The turn of the possession after the latest: the same again where nothing was played or it goes again."""
        if self.last is None:
            return 0
        return self.last.turn + (1 if self.last.played and not self.last.again else 0)

    def _start(self, number: int) -> int:
        starts: list[int] = self.opening["starts"]
        return starts[(number - 1) % len(starts)]

    def _apply(self, fact: Fact, here: Possession) -> None:
        detail = fact.detail
        match fact.kind:
            case FactKind.CONSTRAINT_SWITCHED:
                self.force.switch(detail)
            case FactKind.GAME_CHANGED:
                self.force.change(detail)
            case FactKind.SUBSTITUTION:
                here.put_in.append((detail["figure"], detail["player"]))
                here.floor.put(detail["figure"], detail["player"])
            case FactKind.ATTENDANCE:
                self.lineup.attendance[detail["player"]] = detail["state"]
                self._line_up(here)
            case FactKind.ROTA_CHANGED:
                self.lineup.replan(detail["turns"], here.turn + (1 if here.touched else 0))
                self._line_up(here)
            case FactKind.WATCHING:
                self.tagging.pop(detail["tag"], None)
                self.tagging |= {detail["tag"]: None} if detail["on"] else {}
            case FactKind.FREEZE:
                self.freeze = {"event": fact.event_id, **detail}
                here.freezes.append(self.freeze)
            case FactKind.RUN_IT_AGAIN:
                self.freeze = None
                here.run_again()
            case FactKind.POSSESSION:
                self.freeze = None
                here.skip()
            case FactKind.CLAIM:
                self._claim(fact, here)

    def _line_up(self, here: Possession) -> None:
        """Who stands where, anew; a possession that has begun keeps its players."""
        if not here.touched:
            here.floor = self.lineup.at(here.turn)
            for figure, player in here.put_in:
                here.floor.put(figure, player)

    def _claim(self, fact: Fact, here: Possession) -> None:
        logged = self.tally.score_with(here)
        said = list(fact.detail["score"])
        self.claims.append(
            {
                "event": fact.event_id,
                "possession": here.number,
                "said": said,
                "logged": logged,
                "agrees": said == logged,
            }
        )

    # --- what it comes to

    @property
    def number(self) -> int:
        """The possession that is being played, or comes next."""
        return self._current().number

    def _current(self) -> Possession:
        ended = self.possessions[-1] if self.possessions else None
        if ended is not None and ended.ended_in >= 0 and ended.segment_open:
            return ended  # a frozen moment of it is being run again
        if self.last is not None and not self.last.over:
            return self.last
        number = self.last.number + 1 if self.last else 1
        return Possession(number, self.next_turn, self._start(number), self.lineup.at(self.next_turn))

    @property
    def over(self) -> str:
        """Why the run is over: called off, or the score is reached; empty while it is not."""
        if self.clock.ended:
            return "called"
        to_points = self.force.game.get("finish", {}).get("points")
        return "score" if to_points and self.tally.best >= to_points else ""

    def to_json(self) -> dict[str, Any]:
        """Give the state as plain JSON data; the twin in the browser gives the same."""
        now = self._current()
        coming = now.turn if now.again else now.turn + 1
        return {
            "run": self.opening["run"],
            "possession": now.number,
            "turn": now.turn,
            "start": now.start,
            **now.floor.to_json(),
            "next": {**self._coming(now).to_json(), "turn": coming, "start": self._start(now.number + 1)},
            "freeze": self.freeze,
            "over": self.over,
            "clock": self.clock.to_json(),
            "game": self.force.game,
            "said": self.force.said,
            "attendance": self.lineup.attendance,
            "watching": list(self.tagging),
            "claims": self.claims,
            **self.tally.to_json(),
            "possessions": [self._possession_json(one) for one in self.possessions],
        }

    def _possession_json(self, one: Possession) -> dict[str, Any]:
        won, lost = self.tally.points[one.number, one.inserted]
        return {
            "number": one.number,
            "inserted": one.inserted,
            "turn": one.turn,
            "start": one.start,
            **one.floor.to_json(),
            "result": one.result,
            "again": one.again,
            "stop": one.stopped,
            "void": one.void,
            "replays": one.segment,
            "ended_in": one.ended_in,
            "points": [won, lost],
            "calls": [call.to_json() for call in one.calls],
            "unsettled": one.unsettled,
            "freezes": one.freezes,
        }

"""What a run adds up to: score, players' counts, tags. Points are computed here and nowhere else."""

from __future__ import annotations

from collections import defaultdict
from typing import Any, Final

from courtwright.live.calls import Call
from courtwright.live.force import DEFENCE, OFFENCE
from courtwright.live.lineup import OnFloor
from courtwright.live.possession import Possession, stop_events
from courtwright.vocabulary import FactKind

SIDES: Final = (OFFENCE, DEFENCE)
MIXED: Final = -1
"""In place of a team: stops in a row are then counted over all possessions."""


class Tally:
    """Sums over possessions."""

    def __init__(self, teams: int) -> None:
        self.teams = teams
        self.score = [0] * (teams or len(SIDES))
        self.points: dict[tuple[int, int], tuple[int, int]] = {}
        """of offence and defence, by possession"""
        self.player_points: dict[str, int] = defaultdict(int)
        self.turns: dict[str, dict[str, int]] = {}
        self.players: dict[str, dict[str, int]] = {}
        self.counts: dict[str, int] = defaultdict(int)
        """of calls, by their words"""
        self.events: dict[str, int] = defaultdict(int)
        """as the point rules count them"""
        self.tags: dict[str, dict[str, Any]] = {}
        self._streaks: dict[int, int] = defaultdict(int)

    def credit(self, call: Call, floor: OnFloor) -> None:
        """Note who a call speaks of and, where it counts, what it says of them."""
        name = call.player = floor.figures.get(call.detail.get("who") or "", "")
        passer = call.detail.get("assist")
        call.passer = floor.figures.get(passer, "") if isinstance(passer, str) else ""
        if not call.counted:
            return
        if call.kind is FactKind.TAG:
            kept = self._tag(call.detail["tag"])["players"].setdefault(name, {"did": 0, "opportunities": 0})
            kept["did"] += 1 if call.detail["did"] else 0
            kept["opportunities"] += 1
            return
        what = said(call)
        self.counts[what] += 1
        self._player(name, what)
        self._player(call.passer, "assist")

    def _player(self, name: str, what: str) -> None:
        if name:
            counts = self.players.setdefault(name, {})
            counts[what] = counts.get(what, 0) + 1

    def _tag(self, tag: str) -> dict[str, Any]:
        return self.tags.setdefault(tag, {"watched_possessions": 0, "players": {}})

    def settle(self, one: Possession, watched: set[str]) -> None:
        """Add a possession."""
        defends = one.floor.defence_team
        streak = self._streaks[defends]
        won, lost = one.points(streak)
        self.points[one.number, one.inserted] = (won, lost)
        for name, _ in one.counted():
            self.events[name] += 1
        if one.stopped:
            self._streaks[defends] = streak + 1
            for name in stop_events(streak + 1):
                self.events[name] += 1
        elif not one.again:
            self._streaks[defends] = 0
        self._pay(self.score, one, (won, lost))
        for side, points in zip(SIDES, (won, lost), strict=True):
            for name in one.floor.side(side):
                self.player_points[name] += points
                turns = self.turns.setdefault(name, {OFFENCE: 0, DEFENCE: 0})
                turns[side] += 1
        for tag in watched:
            self._tag(tag)["watched_possessions"] += 1

    def _pay(self, score: list[int], one: Possession, points: tuple[int, int]) -> None:
        """Add the points of offence and defence to a score; a turn without teams pays none where teams keep score."""
        places = (one.floor.offence_team, one.floor.defence_team) if self.teams else (0, 1)
        for place, gained in zip(places, points, strict=True):
            if 0 <= place < len(score):
                score[place] += gained

    def score_with(self, one: Possession) -> list[int]:
        """The score with what a possession has brought so far."""
        score = list(self.score)
        self._pay(score, one, one.points(self._streaks[one.floor.defence_team]))
        return score

    @property
    def best(self) -> int:
        """The most points of a team, or of a player where teams are mixed."""
        return max(self.score if self.teams else self.player_points.values(), default=0)

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        return {
            "score": self.score,
            "player_points": dict(self.player_points),
            "turns": self.turns,
            "players": self.players,
            "counts": dict(self.counts),
            "events": dict(self.events),
            "tags": self.tags,
        }


def said(call: Call) -> str:
    """A call in two or three words, the key of a player's counts."""
    detail = call.detail
    if call.kind in (FactKind.MAKE, FactKind.MISS):
        return f"{call.kind.value} {detail['zone']}" if "zone" in detail else call.kind.value
    if call.kind is FactKind.FREE_THROW:
        return f"free throw {'made' if detail['made'] else 'missed'}"
    return call.kind.value

"""One run as flat rows: its possessions, who had a turn in them, and what was told.

A run changes only while facts of it arrive, so its rows can be kept; a season is
then a matter of putting arrays end to end (`courtwright.review.events`).
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.game.document import Game
from courtwright.live.calls import Call
from courtwright.live.fold import State
from courtwright.live.possession import OPEN, SKIPPED, Possession
from courtwright.vocabulary import FactKind

Rows = NDArray[np.int32]

POSSESSION: Final = (
    *("number", "chain", "start", "form", "scored", "counts", "closes", "chances"),
    *("plain", "won", "lost", "stop", "freezes", "replays", "offence_team", "defence_team"),
)
"""Columns of a possession. ``chain`` numbers possessions until the ball changes side: one that is played again after a
foul goes on with the same. ``scored`` says that a result was told, ``counts`` that it came before any replay of a
frozen moment, ``plain`` is in twos and threes, ``won`` and ``lost`` in the game's own points."""
NUMBER, CHAIN, START, FORM, SCORED, COUNTS, CLOSES, CHANCES = range(8)
PLAIN, WON, LOST_POINTS, STOPPED, FREEZES, REPLAYS, OFFENCE_TEAM, DEFENCE_TEAM = range(8, len(POSSESSION))

TURN: Final = ("row", "player", "defends", "spot")
ROW, PLAYER, DEFENDS, SPOT = range(len(TURN))

TOLD: Final = ("row", "player", "passer", "word", "hit", "counts")
_, _, PASSER, WORD, HIT, TOLD_COUNTS = range(len(TOLD))
"""``hit`` is 1 or 0 where there is a denominator and `NO_TRY` where only a count can be given."""

NO_TRY: Final = -1
NOBODY: Final = -1
PLAIN_POINTS: Final = {"rim": 2, "mid": 2, "three": 3}
_SHOTS: Final = frozenset({FactKind.MAKE, FactKind.MISS})
_REBOUNDED: Final = frozenset({FactKind.OFFENSIVE_REBOUND, FactKind.DEFENSIVE_REBOUND})


class Words:
    """Words by number, in the order they were first used."""

    def __init__(self) -> None:
        self.number: dict[str, int] = {}

    def __getitem__(self, word: str) -> int:
        return self.number.setdefault(word, len(self.number))

    def told(self) -> tuple[str, ...]:
        """All of them."""
        return tuple(self.number)


@dataclass(frozen=True, slots=True)
class RunRows:
    """The rows of one run, with their own numbers for names and words."""

    run: str
    game: str
    basket: str
    made_at: str
    players: tuple[str, ...]
    words: tuple[str, ...]
    spots: tuple[str, ...]
    forms: tuple[tuple[str, ...], ...]
    """the constraints in force, by their keys, in each form that was played"""
    tags: tuple[str, ...]
    possessions: Rows
    """(possessions, POSSESSION)"""
    watched: NDArray[np.bool_]
    """(possessions, tags)"""
    turns: Rows
    """(turns, TURN)"""
    told: Rows
    """(told, TOLD)"""


@dataclass
class _Writing:
    """Rows as they are being written."""

    players: Words = field(default_factory=Words)
    words: Words = field(default_factory=Words)
    spots: Words = field(default_factory=Words)
    tags: Words = field(default_factory=Words)
    forms: dict[tuple[str, ...], int] = field(default_factory=dict)
    turns: list[tuple[int, ...]] = field(default_factory=list)
    told: list[tuple[int, ...]] = field(default_factory=list)
    places: dict[tuple[int, int], dict[str, str]] = field(default_factory=dict)
    """of the figures, by game (whose identity is its key: every change makes a new one) and start"""

    def turn(self, row: int, one: Possession) -> None:
        """Who had a turn, and from where."""
        key = id(one.game), one.start
        places = self.places.get(key) or self.places.setdefault(key, _places(one.game, one.start))
        for figure, name in one.floor.figures.items():
            if name:
                spot = self.spots[places.get(figure, "")]
                self.turns.append((row, self.players[name], figure.startswith("X"), spot))

    def tell(self, row: int, call: Call, counts: bool) -> None:
        """What was told of whom."""
        word, hit = outcome(call)
        player = self.players[call.player] if call.player else NOBODY
        passer = self.players[call.passer] if call.passer else NOBODY
        self.told.append((row, player, passer, self.words[word], hit, counts and call.counted))

    def form(self, game: dict[str, Any]) -> int:
        """The number of the constraints in force."""
        return self.forms.setdefault(rules_of(game), len(self.forms))


def run_rows(state: State) -> RunRows:
    """The rows of a folded run."""
    opening, writing = state.opening, _Writing()
    rows, watched, chain = [], [], 0
    for row, one in enumerate(state.possessions):
        scored = one.result not in (OPEN, SKIPPED)
        counts = scored and one.ended_in == 0
        closes = scored and not (one.again and one.ended_by is not FactKind.MAKE)
        rows.append((one.number, chain, one.start, writing.form(one.game), scored, counts, closes, *_worth(one, state)))
        chain += closes
        watched.append([writing.tags[tag] for tag in sorted(one.watched)])
        writing.turn(row, one)
        for call in one.calls:
            writing.tell(row, call, counts)
    return RunRows(
        *(opening["run"], opening["game"]["name"], opening["basket"], opening["made_at"]),
        *(writing.players.told(), writing.words.told(), writing.spots.told(), tuple(writing.forms)),
        writing.tags.told(),
        _array(rows, len(POSSESSION)),
        _marked(watched, len(writing.tags.number)),
        _array(writing.turns, len(TURN)),
        _array(writing.told, len(TOLD)),
    )


def _worth(one: Possession, state: State) -> tuple[int, ...]:
    """The columns of a possession from `CHANCES` on."""
    won, lost = state.tally.points[one.number, one.inserted]
    brought = (chances(one), plain_points(one), won, lost, one.stopped)
    return (*brought, len(one.freezes), one.segment, one.floor.offence_team, one.floor.defence_team)


def _array(rows: list[tuple[int, ...]], columns: int) -> Rows:
    return np.array(rows, np.int32).reshape(len(rows), columns)


def _marked(rows: list[list[int]], columns: int) -> NDArray[np.bool_]:
    marks = np.zeros((len(rows), columns), np.bool_)
    for row, at in enumerate(rows):
        marks[row, at] = True
    return marks


def outcome(call: Call) -> tuple[str, int]:
    """The word a call is counted under, and whether it was a hit, a miss or has no denominator."""
    kind, detail = call.kind, call.detail
    if kind in _SHOTS:
        zone = detail.get("zone")
        return f"shot {zone}" if zone else "shot", int(kind is FactKind.MAKE)
    if kind is FactKind.FREE_THROW:
        return "free throw", int(detail["made"])
    if kind is FactKind.TAG:
        return f"tag {detail['tag']}", int(detail["did"])
    return kind.value, NO_TRY


def chances(one: Possession) -> int:
    """Shots, fouls and turnovers of a possession; a rebound stands for a miss that nobody told."""
    kinds = [call.kind for call in one.calls if call.counted]
    shots = sum(kind in _SHOTS for kind in kinds)
    rebounds = sum(kind in _REBOUNDED for kind in kinds)
    lost = one.ended_by is not None and one.ended_by not in _SHOTS | _REBOUNDED
    # a foul with the basket belongs to the shot
    with_basket = one.ended_by is FactKind.FOUL and FactKind.MAKE in kinds
    return max(shots, rebounds + (FactKind.MAKE in kinds)) + (lost and not with_basket)


def plain_points(one: Possession) -> int:
    """Twos, threes and free throws; a basket that a breach made worthless is worth nothing."""
    points = 0
    for call in one.calls:
        if call.counted and call.kind is FactKind.MAKE and not one.void:
            points += PLAIN_POINTS[call.detail["zone"]]
        elif call.counted and call.kind is FactKind.FREE_THROW and call.detail["made"]:
            points += 1
    return points


def rules_of(game: dict[str, Any]) -> tuple[str, ...]:
    """Keys of the constraints in force: the rule, and the figure where it binds one alone."""
    return tuple(
        f"{item['rule']}: {item['figure']}" if item.get("figure") else str(item["rule"])
        for item in game.get("constraints", [])
    )


def _places(game: dict[str, Any], start: int) -> dict[str, str]:
    return places(json.dumps([game["start"], game["sides"], game["court"]]), start) if game else {}


@lru_cache(maxsize=512)
def places(told: str, start: int) -> dict[str, str]:
    """The spot nearest to where each figure starts, given start, sides and court as JSON."""
    begin, sides, court = json.loads(told)
    game = Game.model_validate({"name": "any", "start": begin, "sides": sides, "court": court})
    spots = game.floor.spots
    known = 0 <= start < len(game.start.variants)
    return {
        figure: str(min(spots, key=lambda spot: math.dist(spots[spot], place)))
        for figure, place in game.placed_m(start if known else None).items()
    }

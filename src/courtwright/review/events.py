"""Many runs end to end: turns and outcomes per player, by role, spot, game, practice and month.

Both counts of a possession are kept and named: a **possession** lasts until the
ball changes side, a **chance** until a shot, a foul or a turnover. Possessions
whose result came in a replay of a frozen moment are shown (`Coverage.again`) and
not counted. What nobody watched for is not zero: rates of a tag are over the
opportunities that were told while somebody watched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import WordError
from courtwright.review import rows as at
from courtwright.vocabulary import Side

By = Literal["game", "practice", "month", "spot", "role"]
Numbers = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Coverage:
    """How much of what was played was told."""

    played: int
    """times play began"""
    scored: int
    """with a result"""
    again: int
    """run again from a frozen moment before they had one: shown, not counted"""
    possessions: int
    chances: int
    tagged: int
    """possessions in which somebody watched for the tag asked for, or for any"""

    def to_json(self) -> dict[str, int]:
        """Give it as plain JSON data."""
        return {name: getattr(self, name) for name in self.__slots__}


@dataclass(frozen=True, slots=True)
class Log:
    """Rows of many runs, with one set of numbers for names and words. Columns as in `courtwright.review.rows`."""

    players: tuple[str, ...]
    words: tuple[str, ...]
    spots: tuple[str, ...]
    games: tuple[str, ...]
    practices: tuple[str, ...]
    """dates, one a practice, in order"""
    forms: tuple[tuple[str, ...], ...]
    tags: tuple[str, ...]
    runs: tuple[str, ...]
    possessions: at.Rows
    """(n, columns of a possession); chains are numbered through"""
    run: Numbers
    """(n,)"""
    game: Numbers
    """(n,)"""
    practice: Numbers
    """(n,)"""
    watched: Mask
    """(n, tags)"""
    turns: at.Rows
    told: at.Rows

    # --- which rows

    @property
    def counted(self) -> Mask:
        """(n,) possessions that count."""
        return np.equal(self.possessions[:, at.COUNTS], 1)

    def with_rule(self, rule: str) -> Mask:
        """(n,) possessions in which a constraint bound, by its key."""
        return np.array([rule in form for form in self.forms], np.bool_)[self.possessions[:, at.FORM]]

    def of_practices(self, first: int, last: int) -> Mask:
        """(n,) possessions of practices from one up to but not with another, by number."""
        return (self.practice >= first) & (self.practice < last)

    # --- what they come to

    def coverage(self, tag: str = "", within: Mask | None = None) -> Coverage:
        """How much was told, of all rows or of some."""
        rows = np.ones(len(self.run), np.bool_) if within is None else within
        here, watched = self.possessions[rows], self._watched(tag)[rows]
        scored, counts = here[:, at.SCORED] == 1, here[:, at.COUNTS] == 1
        return Coverage(
            len(here),
            int(scored.sum()),
            int((scored & ~counts).sum()),
            int(here[counts, at.CLOSES].sum()),
            int(here[counts, at.CHANCES].sum()),
            int((scored & watched).sum()),
        )

    def _watched(self, tag: str) -> Mask:
        if not tag:
            return np.asarray(self.watched.any(axis=1))
        if tag not in self.tags:
            return np.zeros(len(self.run), np.bool_)
        return np.asarray(self.watched[:, self.tags.index(tag)])

    def turns_of(self, *by: By, side: Side | None = None) -> dict[tuple[str, ...], int]:
        """Turns by player and whatever else is named, in that order; only those there were."""
        kept = np.ones(len(self.turns), np.bool_)
        if side is not None:
            kept = self.turns[:, at.DEFENDS] == (side is Side.DEFENCE)
        turns = self.turns[kept]
        return self._counted(turns[:, at.PLAYER], turns[:, at.ROW], by, turns[:, at.SPOT], turns[:, at.DEFENDS])

    def points_of(self, side: Side, within: Mask | None = None) -> dict[str, tuple[int, int]]:
        """Plain points of the offence in the possessions a player had a turn in, and these possessions' rows."""
        rows = self.counted if within is None else self.counted & within
        turns = self.turns[(self.turns[:, at.DEFENDS] == (side is Side.DEFENCE)) & rows[self.turns[:, at.ROW]]]
        points = self.possessions[turns[:, at.ROW], at.PLAIN]
        sums = np.bincount(turns[:, at.PLAYER], points, len(self.players))
        times = np.bincount(turns[:, at.PLAYER], minlength=len(self.players))
        return {name: (int(sums[player]), int(times[player])) for player, name in enumerate(self.players)}

    def tries_of(
        self, word: str, *by: By, within: Mask | None = None, pass_to: bool = False
    ) -> dict[tuple[str, ...], tuple[int, int]]:
        """Hits and tries by player and whatever else is named; ``pass_to`` counts them for the passer instead.

        Raises `WordError` for a word that has no tries: see `counts_of`.
        """
        told = self._said(word, within)
        if np.any(told[:, at.HIT] == at.NO_TRY):
            raise WordError(f"nobody tells how often “{word}” could have been; only the count can be given")
        hits, tries = (self._by_player(rows, by, pass_to) for rows in (told[told[:, at.HIT] == 1], told))
        return {key: (hits.get(key, 0), of) for key, of in tries.items()}

    def counts_of(self, word: str, *by: By, within: Mask | None = None) -> dict[tuple[str, ...], int]:
        """How often something was told of each player."""
        return self._by_player(self._said(word, within), by, False)

    def told_of(self, word: str, within: Mask | None = None) -> at.Rows:
        """(k,) hit or miss (`rows.NO_TRY` without a denominator) of everybody, of nobody named too, in order."""
        told: at.Rows = self._said(word, within)[:, at.HIT]
        return told

    def has_tries(self, word: str) -> bool:
        """Whether a word's outcomes have a denominator."""
        told = self.told_of(word)
        return bool(len(told)) and bool(np.all(told != at.NO_TRY))

    def _said(self, word: str, within: Mask | None) -> at.Rows:
        kept = self.told[:, at.TOLD_COUNTS] == 1
        kept &= self.told[:, at.WORD] == (self.words.index(word) if word in self.words else -1)
        chosen: at.Rows = self.told[kept if within is None else kept & within[self.told[:, at.ROW]]]
        return chosen

    def _by_player(self, told: at.Rows, by: Sequence[By], pass_to: bool) -> dict[tuple[str, ...], int]:
        who = told[:, at.PASSER if pass_to else at.PLAYER]
        told, who = told[who >= 0], who[who >= 0]
        spots, roles = self._stood(told[:, at.ROW], who) if {"spot", "role"} & set(by) else (who, who)
        return self._counted(who, told[:, at.ROW], by, spots, roles)

    def _stood(self, row: Numbers | at.Rows, who: Numbers | at.Rows) -> tuple[at.Rows, at.Rows]:
        """Where and on which side each of them had their turn; −1 where they had none (put in for somebody)."""
        if not len(self.turns):
            return np.full(len(row), -1, np.int32), np.full(len(row), -1, np.int32)
        key = self.turns[:, at.ROW].astype(np.int64) * len(self.players) + self.turns[:, at.PLAYER]
        order = np.argsort(key, kind="stable")
        wanted = row.astype(np.int64) * len(self.players) + who
        found = order[np.minimum(np.searchsorted(key, wanted, sorter=order), len(order) - 1)]
        known = key[found] == wanted
        spots, roles = self.turns[found, at.SPOT], self.turns[found, at.DEFENDS]
        return np.where(known, spots, -1), np.where(known, roles, -1)

    def _counted(
        self, who: Any, row: Any, by: Sequence[By], spot: Any, defends: Any
    ) -> dict[tuple[str, ...], int]:  # all (k,) whole numbers
        months = [date[:7] for date in self.practices]
        named: dict[By, tuple[Any, Sequence[str]]] = {
            "game": (self.game[row], self.games),
            "practice": (self.practice[row], self.practices),
            "month": (self.practice[row], months),
            "spot": (spot, (*self.spots, "")),
            "role": (defends, (Side.OFFENCE.value, Side.DEFENCE.value, "")),
        }
        words = [self.players, *(named[one][1] for one in by)]
        numbers = [who, *(np.where(named[one][0] < 0, len(named[one][1]) - 1, named[one][0]) for one in by)]
        sizes = tuple(map(len, words))
        times = np.bincount(np.ravel_multi_index(numbers, sizes), minlength=1) if len(who) else np.zeros(1, np.int64)
        sums: dict[tuple[str, ...], int] = {}
        for place in np.flatnonzero(times):
            key = tuple(said[int(value)] for said, value in zip(words, np.unravel_index(place, sizes), strict=True))
            sums[key] = sums.get(key, 0) + int(times[place])
        return sums

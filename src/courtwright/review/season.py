"""Rows of runs put end to end, with one set of numbers for names and words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Final

import numpy as np

from courtwright.review import rows as at
from courtwright.review.events import Log, Mask, Numbers
from courtwright.review.rows import RunRows, Words

BREAK: Final = timedelta(hours=4)
"""Runs that open within this of each other belong to one practice, past midnight too. A guess."""


def season(runs: Iterable[RunRows], zone: tzinfo = UTC) -> Log:
    """Put the rows of runs end to end, in the order they opened; dates are those of ``zone``."""
    opened = sorted(runs, key=lambda one: (_when(one), one.run))
    practices, practice_of = _practices([_when(one) for one in opened], zone)
    joining = _Joining()
    for one in opened:
        joining.add(one)
    lengths = [len(one.possessions) for one in opened]
    return Log(
        players=joining.players.told(),
        words=joining.words.told(),
        spots=joining.spots.told(),
        games=joining.games.told(),
        practices=practices,
        forms=tuple(joining.forms),
        tags=joining.tags.told(),
        runs=tuple(one.run for one in opened),
        possessions=_joined(joining.possessions, len(at.POSSESSION)),
        run=np.repeat(np.arange(len(opened)), lengths),
        game=np.repeat(np.array([joining.games[one.game] for one in opened], np.int64), lengths),
        practice=np.repeat(practice_of, lengths),
        watched=_watching(opened, joining.tags),
        turns=_joined(joining.turns, len(at.TURN)),
        told=_joined(joining.told, len(at.TOLD)),
    )


class _Joining:
    """Rows so far, and the numbers given to names and words."""

    def __init__(self) -> None:
        self.players, self.words, self.spots, self.tags, self.games = (Words() for _ in range(5))
        self.forms: dict[tuple[str, ...], int] = {}
        self.possessions: list[at.Rows] = []
        self.turns: list[at.Rows] = []
        self.told: list[at.Rows] = []
        self._row, self._chain = 0, 0

    def add(self, one: RunRows) -> None:
        """Renumber a run's rows and keep them."""
        possessions, turns, told = one.possessions.copy(), one.turns.copy(), one.told.copy()
        for words, said in ((self.games, (one.game,)), (self.tags, one.tags)):
            for word in said:
                _ = words[word]  # takes its number
        players = [self.players[name] for name in one.players]
        _renumber(possessions, at.FORM, [self.forms.setdefault(form, len(self.forms)) for form in one.forms])
        _renumber(turns, at.PLAYER, players)
        _renumber(turns, at.SPOT, [self.spots[spot] for spot in one.spots])
        _renumber(told, at.PLAYER, players)
        _renumber(told, at.PASSER, players)
        _renumber(told, at.WORD, [self.words[word] for word in one.words])
        possessions[:, at.CHAIN] += self._chain
        turns[:, at.ROW] += self._row
        told[:, at.ROW] += self._row
        if len(possessions):
            self._row += len(possessions)
            self._chain = int(possessions[-1, at.CHAIN]) + 1
        self.possessions.append(possessions)
        self.turns.append(turns)
        self.told.append(told)


def _when(one: RunRows) -> datetime:
    at_ = datetime.fromisoformat(one.made_at)
    return at_ if at_.tzinfo else at_.replace(tzinfo=UTC)


def _practices(opened: Sequence[datetime], zone: tzinfo) -> tuple[tuple[str, ...], Numbers]:
    """Dates of the practices, and which one each run belongs to."""
    dates: list[str] = []
    number = []
    before: datetime | None = None
    for when in opened:
        if before is None or when - before > BREAK:
            dates.append(when.astimezone(zone).date().isoformat())
        number.append(len(dates) - 1)
        before = when
    return tuple(dates), np.array(number, np.int64)


def _renumber(rows: at.Rows, column: int, numbers: Sequence[int]) -> None:
    """Replace a run's own numbers; −1 stays."""
    rows[:, column] = np.array([*numbers, -1], np.int32)[rows[:, column]]


def _joined(parts: list[at.Rows], columns: int) -> at.Rows:
    return np.concatenate(parts) if parts else np.zeros((0, columns), np.int32)


def _watching(opened: list[RunRows], tags: Words) -> Mask:
    numbers = [[tags[tag] for tag in one.tags] for one in opened]
    marks = np.zeros((sum(len(one.possessions) for one in opened), len(tags.number)), np.bool_)
    row = 0
    for one, columns in zip(opened, numbers, strict=True):
        marks[row : row + len(one.possessions), columns] = one.watched
        row += len(one.possessions)
    return marks

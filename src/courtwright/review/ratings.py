"""What each player adds in attack and takes away in defence, from mixed sides, in plain points a possession.

An attacker adds to the points of a possession, a defender takes from them; the
game adds its own and so does its start (all attackers stand at the spots of the
start, so spots and starts cannot be told apart). With a few hundred possessions
most of it is chance: an order of two players is given only where it is nine in ten
that it holds, and "too early" is the usual answer. There is no table of a squad:
a player is asked about by name.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from courtwright.errors import WordError
from courtwright.review import rows as at
from courtwright.review.events import Log, Mask
from courtwright.review.intervals import Interval
from courtwright.review.rates import DIGITS, LEVEL
from courtwright.review.ridge import DRAWS, Matrix, Posterior, Vector, fit
from courtwright.vocabulary import Side

USUAL_POINTS: Final = 0.9
"""Plain points a possession expected beforehand; a guess for the young, and soon outweighed."""
WHOLE_SD, GAME_SD, START_SD = 0.5, 0.25, 0.15
"""Prior standard deviations of the level, of games and of starts, in units of what a possession varies by. Guesses."""
SURE: Final = 0.9
"""An order of two is given from this probability on."""


@dataclass(frozen=True, slots=True)
class Rating:
    """One player's part in one role; better is above 0 in both."""

    player: str
    side: Side
    mean: float
    """plain points a possession more than a usual player, scored or prevented"""
    likely: Interval
    turns: int

    def to_json(self) -> dict[str, Any]:
        """Give it as plain JSON data."""
        likely = [round(end, DIGITS) for end in self.likely]
        told = {"player": self.player, "side": self.side.value, "points_per_possession": round(self.mean, DIGITS)}
        return told | {"likely": likely, "level": LEVEL, "turns": self.turns}


@dataclass(frozen=True, slots=True)
class Order:
    """Which of two does better in a role, and how likely that is."""

    one: str
    other: str
    side: Side
    probability: float
    """that the first does better"""

    @property
    def ahead(self) -> str:
        """Who is ahead; empty where it is too early to say."""
        if self.probability >= SURE:
            return self.one
        return self.other if 1 - self.probability >= SURE else ""


@dataclass(frozen=True, slots=True)
class Ratings:
    """The posterior of everybody's part. Asked by name; it gives no table."""

    players: tuple[str, ...]
    posterior: Posterior
    turns: NDArray[np.int64]
    """(players, 2) that were counted, in attack and in defence"""

    def of(self, player: str, side: Side) -> Rating:
        """A player's part in a role; raises `WordError` for somebody who has not played."""
        drawn, tail = self._drawn(player, side), (1 - LEVEL) / 2
        low, high = np.quantile(drawn, [tail, 1 - tail])
        turns = self.turns[self.players.index(player), int(side is Side.DEFENCE)]
        return Rating(player, side, float(drawn.mean()), Interval(float(low), float(high)), int(turns))

    def order(self, one: str, other: str, side: Side) -> Order:
        """Which of two does better in a role."""
        above = float(np.mean(self._drawn(one, side) > self._drawn(other, side)))
        return Order(one, other, side, above)

    def expected(self, attack: Iterable[str], defend: Iterable[str]) -> Vector:
        """(draws,) plain points a possession of a line-up against another, the game left out."""
        for_them = sum(self._drawn(name, Side.OFFENCE) for name in attack)
        against = sum(self._drawn(name, Side.DEFENCE) for name in defend)
        return np.asarray(USUAL_POINTS + self.posterior.effects[:, 0] + for_them - against)

    def _drawn(self, player: str, side: Side) -> Vector:
        if player not in self.players:
            raise WordError(f"{player} has no possession that counts yet")
        first = self.posterior.effects.shape[1] - 2 * len(self.players)
        column = first + self.players.index(player) + (len(self.players) if side is Side.DEFENCE else 0)
        return np.asarray(self.posterior.effects[:, column])


def rate_players(log: Log, within: Mask | None = None, *, draws: int = DRAWS, seed: int = 0) -> Ratings:
    """Ratings from the possessions that count, or from some of them."""
    kept = log.counted & (log.possessions[:, at.CLOSES] == 1)
    kept = kept if within is None else kept & within
    rows, turns = line_ups(log, kept)
    chain = log.possessions[:, at.CHAIN]
    points = np.bincount(chain, log.possessions[:, at.PLAIN] * log.counted)[chain[kept]]
    settings, setting_sd = _settings(log, kept)
    design = np.concatenate([settings, rows], axis=1)
    known_sd = np.concatenate([setting_sd, np.ones(rows.shape[1])])
    free = np.arange(design.shape[1]) >= settings.shape[1]
    posterior = fit(design, points - USUAL_POINTS, known_sd, free, draws=draws, seed=seed)
    return Ratings(log.players, posterior, turns)


def line_ups(log: Log, kept: Mask) -> tuple[Matrix, NDArray[np.int64]]:
    """(rows kept, 2 × players) 1 for an attacker and −1 for a defender, and (players, 2) their turns."""
    players = len(log.players)
    place = np.cumsum(kept) - 1
    turns = log.turns[kept[log.turns[:, at.ROW]]]
    defends = turns[:, at.DEFENDS]
    rows = np.zeros((int(kept.sum()), 2 * players))
    rows[place[turns[:, at.ROW]], turns[:, at.PLAYER] + players * defends] = 1 - 2 * defends
    return rows, np.abs(rows).sum(axis=0).astype(np.int64).reshape(2, players).T


def _settings(log: Log, kept: Mask) -> tuple[Matrix, Vector]:
    """Columns of the level, the games and their starts, and their prior standard deviations."""
    game = log.game[kept]
    start = game * 1000 + log.possessions[kept, at.START]
    parts, sds = [np.ones((len(game), 1))], [WHOLE_SD]
    for which, sd in ((game, GAME_SD), (start, START_SD)):
        marks = (which[:, None] == np.unique(which)[None, :]).astype(np.float64)
        parts.append(marks)
        sds += [sd] * marks.shape[1]
    return np.concatenate(parts, axis=1), np.array(sds)

"""What a review tells: of a group, and of one player, each as plain JSON data with its sentences.

Players stand in the order of their names, never of merit. A player's page holds only their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from courtwright.errors import WordError
from courtwright.review import rows as at
from courtwright.review.events import Log
from courtwright.review.findings import Candidate, choose, practice_differences, sentences, total
from courtwright.review.rates import Count, Rate, rates
from courtwright.review.ratings import Order, rate_players
from courtwright.review.sentences import (
    count_line,
    counted,
    counts_line,
    coverage_line,
    order_line,
    rate_line,
    streak_line,
)
from courtwright.review.streaks import streak
from courtwright.review.variety import evenness, longest_same_spot
from courtwright.vocabulary import Side

FORMAT: Final = "courtwright.review/1"
SHOTS: Final = ("shot rim", "shot mid", "shot three", "shot")


@dataclass(frozen=True, slots=True)
class _Sums:
    """What every player's numbers are taken from, added up once."""

    turns: dict[tuple[str, ...], int]
    """by player and role"""
    spots: dict[tuple[str, ...], int]
    """attacking turns by player and spot"""
    rates: dict[str, dict[str, Rate]]
    """by word, of everyone who has tries of it: a player is shrunk to those who do the same"""
    counts: dict[str, dict[tuple[str, ...], int]]
    """by word that has no tries"""

    @classmethod
    def of(cls, log: Log) -> _Sums:
        tried = [word for word in log.words if log.has_tries(word)]
        return cls(
            log.turns_of("role"),
            log.turns_of("spot", side=Side.OFFENCE),
            {word: rates({who: tries for (who,), tries in sorted(log.tries_of(word).items())}) for word in tried},
            {word: log.counts_of(word) for word in log.words if word not in tried},
        )


def group_page(log: Log) -> dict[str, Any]:
    """The review of a group: how much was told, what stands out, everyone's numbers by name."""
    last = len(log.practices) - 1
    asked = practice_differences(log, last) if last > 0 else []
    found = choose(asked)
    sums = _Sums.of(log)
    return {
        "format": FORMAT,
        "runs": list(log.runs),
        "practices": list(log.practices),
        "games": list(log.games),
        "coverage": log.coverage().to_json(),
        "tagged": {tag: log.coverage(tag).tagged for tag in sorted(log.tags)},
        "outcomes": {word: _outcome(log, word) for word in log.words},
        "findings": [one.to_json() for one in found],
        "asked": len(asked),
        "players": [_numbers(log, name, sums) for name in sorted(log.players)],
        "sentences": _group_lines(log, found),
    }


def _group_lines(log: Log, found: list[Candidate]) -> list[str]:
    told = log.coverage()
    lines = [coverage_line(told)]
    if told.scored:
        lines += [counts_line(told), *(coverage_line(log.coverage(tag), tag) for tag in sorted(log.tags))]
        lines += sentences(found)
    return lines


def _outcome(log: Log, word: str) -> dict[str, Any]:
    hits, told = total(log, word)
    return {"hits": hits, "of": told} if log.has_tries(word) else Count(told).to_json()


def player_page(log: Log, name: str) -> dict[str, Any]:
    """The review of one player; raises `WordError` for a name that has not played."""
    if name not in log.players:
        raise WordError(f"{name} is in none of these runs; write the name as in the squad")
    sums = _Sums.of(log)
    numbers = _numbers(log, name, sums)
    runs_in = {"format": FORMAT, "runs": list(log.runs), "practices": list(log.practices)}
    return runs_in | numbers | {"sentences": _player_lines(log, name, sums)}


def _player_lines(log: Log, name: str, sums: _Sums) -> list[str]:
    attack, defence = (sums.turns.get((name, side.value), 0) for side in Side)
    rated = [rate_line(name, word, told[name]) for word, told in sums.rates.items() if name in told]
    told_of = [count_line(name, word, told[name,]) for word, told in sums.counts.items() if (name,) in told]
    turns = f"{name}: {counted(attack, 'turn')} in attack, {counted(defence, 'turn')} in defence."
    return [turns, *rated, *told_of, streak_line(name, streak(shots_of(log, name)))]


def _numbers(log: Log, name: str, sums: _Sums) -> dict[str, Any]:
    spots = sorted({spot for _, spot in sums.spots})
    from_spot = {spot: sums.spots.get((name, spot), 0) for spot in spots}
    return {
        "player": name,
        "turns": {side.value: sums.turns.get((name, side.value), 0) for side in Side},
        "spots": from_spot,
        "evenness": evenness(from_spot.values()),
        "longest_same_spot": longest_same_spot(log, name),
        "rates": {word: told[name].to_json() for word, told in sums.rates.items() if name in told},
        "counts": {word: Count(told.get((name,), 0)).to_json() for word, told in sums.counts.items()},
    }


def shots_of(log: Log, name: str) -> list[bool]:
    """A player's shots in order, hit or miss."""
    words = [log.words.index(word) for word in SHOTS if word in log.words]
    told = log.told
    mine = (told[:, at.PLAYER] == log.players.index(name)) & (told[:, at.TOLD_COUNTS] == 1)
    return [bool(hit) for hit in told[mine & np.isin(told[:, at.WORD], words), at.HIT]]


def order_of_two(log: Log, one: str, other: str) -> tuple[list[Order], list[str]]:
    """Which of two does better in each role, and the sentences; "too early" is the usual answer."""
    ratings = rate_players(log)
    orders = [ratings.order(one, other, side) for side in Side]
    return orders, [order_line(order) for order in orders]

"""From a first sheet to the best one found: the search with its budget of steps, and what a rota costs."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.floor.records import Ints
from courtwright.game.document import AfterPossession
from courtwright.rota import anneal
from courtwright.rota.problem import Problem
from courtwright.rota.sheet import COMPANY_KEPT, Meetings, sheet_of

STEPS_A_TURN: Final = 20_000
"""moves tried for each turn that is open, from each first sheet: in all about a quarter of a second"""
MOST_STEPS: Final = 20_000_000
"""however long it is to be looked for: under ten seconds"""
HOT: Final = 500
COLD: Final = 30
LUKEWARM: Final = 60
"""a construction that is perfect already is only smoothed"""

LOGS: Final = anneal.log_table()


@dataclass(frozen=True)
class First:
    """A first sheet: who sits where (turns, seats), of which team each is (turns, players)."""

    who: Ints
    team: Ints
    meetings: Meetings | None = None
    teams: tuple[tuple[int, ...], ...] = ()
    shares: NDArray[np.float64] | None = None
    """(players, roles) turns owed, where teams decide; else an even share"""
    near: bool = False
    """it comes from a construction, and the search should not stray far"""


def best_of(problem: Problem, firsts: Sequence[First], longer: float = 1) -> First:
    """Search from every first sheet, ``longer`` times the usual steps; give the cheapest sheet found."""
    steps = int(STEPS_A_TURN * longer * (problem.turns - len(problem.played) // problem.baskets))
    steps = min(steps, MOST_STEPS)
    found = [_searched(problem, first, steps, number) for number, first in enumerate(firsts)]
    best = min(found, key=lambda result: result[0])[1]
    if problem.rule is AfterPossession.TIMED and not best.meetings:
        return _searched(problem, replace(best, near=True), steps // 3, len(firsts), COMPANY_KEPT)[1]
    return best


def _searched(
    problem: Problem, first: First, steps: int, number: int, weights: Sequence[int] = ()
) -> tuple[int, First]:
    sheet = sheet_of(problem, first.who, first.team, first.shares)
    if weights:
        sheet.weights[:] = weights
    before = cost_of(sheet)
    if sheet.from_turn == sheet.turn_count or steps == 0:
        return before, first
    state = random.Random(f"{problem.seed} {number}").randrange(1, anneal.MODULUS - 1)
    gain, who = anneal.search(sheet, LOGS, steps, LUKEWARM if first.near else HOT, COLD, state)
    return before + gain, replace(first, who=who[: problem.turns, : problem.players].copy())


def cost_of(sheet: anneal.Sheet) -> int:
    """What a whole sheet costs, counted from nothing: what the search's small steps must add up to."""
    n = sheet.player_count
    turn, role, figure, mate, opponent = (int(weight) for weight in sheet.weights)
    pairs = np.triu_indices(n, 1)
    cost = turn * int(((anneal.QUARTERS * sheet.turns[:n] - sheet.owed[:n]) ** 2).sum())
    cost += role * int(((anneal.QUARTERS * sheet.roles[:n] - sheet.owed_role[:n]) ** 2).sum())
    cost += figure * int((sheet.figures[:n] ** 2).sum())
    cost += mate * int((sheet.mates[:n, :n][pairs] ** 2).sum())
    cost += opponent * int((sheet.opponents[:n, :n][pairs] ** 2).sum())
    return cost + _time_cost(sheet) + anneal.BROKEN * broken(sheet)


def _time_cost(sheet: anneal.Sheet) -> int:
    """Sits, and moves against the rule."""
    cost = 0
    for player in range(sheet.player_count):
        groups = _groups(sheet, player)
        for before, after in pairwise(groups):
            if anneal.ABSENT not in (before, after):
                cost += int(sheet.order_cost[before, after])
        cost += sum(int(sheet.sit_cost[length]) for off, length in _runs(groups) if off)
    return cost


def _groups(sheet: anneal.Sheet, player: int) -> list[int]:
    return [
        int(sheet.group[sheet.seat_of[turn, player]]) if sheet.here[turn, player] else anneal.ABSENT
        for turn in range(sheet.turn_count)
    ]


def _runs(groups: Sequence[int]) -> list[tuple[bool, int]]:
    """Runs of turns off (true) and on, in order; absence parts them."""
    runs: list[tuple[bool, int]] = []
    last = anneal.ABSENT
    for group in groups:
        off = group == anneal.RESTS
        if group == anneal.ABSENT:
            pass
        elif last != anneal.ABSENT and runs[-1][0] == off:
            runs[-1] = off, runs[-1][1] + 1
        else:
            runs.append((off, 1))
        last = group
    return runs


def broken(sheet: anneal.Sheet) -> int:
    """Breaches of wishes, each turn counted."""
    n, figures = sheet.player_count, sheet.figures
    count = int(np.maximum(0, sheet.turns[:n] - sheet.cap[:n]).sum())
    count += int((figures[:n, :n] * (1 - sheet.allowed[:n, :n])).sum()) + int((sheet.mates * sheet.apart).sum()) // 2
    for player in range(n):
        limit = int(sheet.rest[player])
        count += sum(max(0, length - limit) for off, length in _runs(_groups(sheet, player)) if limit and not off)
    for one, other in sheet.together[: sheet.pair_count]:
        for turn in range(sheet.turn_count):
            seat, across = sheet.seat_of[turn, one], sheet.seat_of[turn, other]
            parted = sheet.basket[seat] != sheet.basket[across] or sheet.group[seat] != sheet.group[across]
            count += int(sheet.here[turn, one] and sheet.here[turn, other] and parted)
    return count


def hardly_plays(sheet: anneal.Sheet) -> bool:
    """Whether the wishes push somebody below half of what they are owed."""
    return bool((sheet.turns[: sheet.player_count] < least_turns(sheet.owed[: sheet.player_count])).any())


def least_turns(owed: Ints) -> Ints:
    """(players) half of what is owed, in whole turns, from quarter turns: no wish may cost anybody more."""
    least: Ints = owed // (2 * anneal.QUARTERS)
    return least

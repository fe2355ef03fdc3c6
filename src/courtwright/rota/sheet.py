"""From a problem to the arrays of the search, and from its seats back to turns."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import COMPILED
from courtwright.errors import RotaError
from courtwright.floor.records import Ints, blank
from courtwright.game.document import AfterPossession
from courtwright.rota import anneal
from courtwright.rota.anneal import QUARTERS, Sheet
from courtwright.rota.problem import Problem, Role, WishKind
from courtwright.rota.turns import Turn

NO_LIMIT: Final = 1 << 20

Meetings = Sequence[Sequence[tuple[int, int]]]
"""turn by turn, basket by basket: the team in offence and the team in defence"""

WEIGHTS: Final = {"turn": 500, "role": 120, "figure": 100, "mate": 100, "opponent": 60}
"""per square of a quarter turn (turn, role), of a turn at a figure, of a meeting. Turns first, then roles; a spot and a
meeting weigh about the same"""
TIMED_WEIGHTS: Final = WEIGHTS | {"role": 4, "figure": 15}
"""in a turn of minutes both sides attack and defend: company matters more"""
COMPANY_KEPT: Final = (500, 120, 100, 4000, 2400)
"""by which ends and spots are then evened up, company left as it was found"""
LONGER: Final = 150
"""a sit one turn longer than the shortest possible, or more"""
TOO_LONG: Final = 3000
"""per square of each further turn"""
BACK_TO_BACK: Final = 80
"""one move against “defend, then attack, then off” is worth so much times what the move breaks"""

_KEPT, _HALF, _BROKEN = 0, 4, 10
ORDER: Final = np.array(
    # to: attack, defend, off
    [
        [_BROKEN, _HALF + 2, _KEPT],  # who attacked goes off, else changes ends
        [_KEPT, _BROKEN, _BROKEN + 6],  # who defended attacks
        [_HALF, _KEPT, _KEPT],  # who was off defends; a longer sit has its own cost
    ],
    dtype=np.int64,
)


def seats_of(problem: Problem) -> tuple[Ints, Ints, Ints, Ints]:
    """Group, role, basket and figure of each seat of a turn: basket by basket, then those who are off."""
    one = [(anneal.ATTACKS, Role.OFFENCE)] * problem.offence + [(anneal.ATTACKS, Role.NEUTRAL)] * problem.neutral
    one += [(anneal.DEFENDS, Role.DEFENCE)] * problem.defence
    on = [(*kind, basket, figure) for basket in range(problem.baskets) for figure, kind in enumerate(one)]
    rows = np.array(on + [(anneal.RESTS, Role.OFF, -1, -1)] * problem.off, dtype=np.int64)
    return rows[:, 0], rows[:, 1], rows[:, 2], rows[:, 3]


@lru_cache(maxsize=32)
def presence(problem: Problem) -> Ints:
    """(turns, players) 1 where somebody can play; raise `RotaError` where too few can."""
    here = np.ones((problem.turns, problem.players), dtype=np.int64)
    for wish in problem.of_kind(WishKind.FROM_TURN):
        here[: wish.number - 1, list(wish.players)] = 0
    for wish in problem.of_kind(WishKind.TO_TURN):
        here[wish.number :, list(wish.players)] = 0
    for number in range(0, len(problem.played), problem.baskets):
        wave = problem.played[number : number + problem.baskets]
        there = {player for turn in wave for player in (*turn.attack, *turn.defence, *turn.off)}
        here[number // problem.baskets] = [player in there for player in range(problem.players)]
    short = np.flatnonzero(here.sum(axis=1) < problem.on_floor)
    if short.size:
        turn = int(short[0])
        raise RotaError(
            f"turn {turn + 1} needs {problem.on_floor} players and {int(here[turn].sum())} are there; "
            "play fewer a side, or start it when more have come"
        )
    here.flags.writeable = False  # it is remembered
    return here


def owed_turns(problem: Problem, here: Ints) -> Ints:
    """(players) quarter turns each is owed: an even share of every turn they are there for, up to their limit.

    What a limit leaves over is shared among the others.
    """
    most = np.full(problem.players, float(problem.turns))
    for wish in problem.of_kind(WishKind.AT_MOST):
        most[list(wish.players)] = np.minimum(most[list(wish.players)], wish.number)
    for wish in problem.of_kind(WishKind.IN_A_ROW):
        most[list(wish.players)] *= wish.number / (wish.number + 1)
    weight = np.ones(problem.players)
    for _ in range(40):
        share = here * weight
        share = np.minimum(1.0, share * (problem.on_floor / share.sum(axis=1, keepdims=True)))
        owed = share.sum(axis=0)
        if (owed <= most + 0.01).all():
            break
        weight *= np.minimum(1.0, most / np.maximum(owed, 0.01))
    quarters: Ints = np.round(np.minimum(owed, most) * QUARTERS).astype(np.int64)
    for wish in problem.of_kind(WishKind.GUEST):
        quarters[list(wish.players)] -= 1  # who sits where turns do not divide
    return quarters


def sheet_of(
    problem: Problem,
    who: Ints,
    team: Ints,
    shares: NDArray[np.float64] | None = None,
    *,
    compiled: bool = COMPILED,
) -> Sheet:
    """The sheet for seats (turns, seats) and teams (turns, players) given turn by turn, everything counted.

    ``shares`` (players, roles) are the turns each is owed in each role, where that is no even share.
    """
    seats, here = seats_of(problem), presence(problem)
    n = problem.players
    owed = owed_turns(problem, here)
    places = np.array([problem.offence, problem.defence, problem.neutral]) * problem.baskets
    owed_role = np.round(owed[:, None] * places / places.sum())
    if shares is not None:
        owed, owed_role = np.round(QUARTERS * shares.sum(axis=1)), np.round(QUARTERS * shares)
    together = _together(problem)
    sheet = blank(Sheet, anneal.SHEET_TYPE, compiled=compiled)
    sheet.turn_count, sheet.player_count, sheet.pair_count = problem.turns, n, len(together)
    sheet.from_turn = len(problem.played) // problem.baskets
    sheet.who[: problem.turns, :n] = who
    sheet.seat_of[: problem.turns, :n] = np.argsort(who, axis=1)
    sheet.here[: problem.turns, :n] = here
    sheet.team[: problem.turns, :n] = team
    sheet.group[:n], sheet.role[:n], sheet.basket[:n], sheet.figure[:n] = seats
    sheet.first_seat[: problem.baskets + 1] = np.arange(problem.baskets + 1) * (problem.attack + problem.defence)
    sheet.owed[:n] = owed
    sheet.owed_role[:n] = owed_role
    sheet.cap[:n] = _limits(problem, WishKind.AT_MOST, NO_LIMIT)
    sheet.rest[:n] = _limits(problem, WishKind.IN_A_ROW, 0)
    sheet.allowed[:n, : len(problem.figures)] = _allowed(problem)
    sheet.apart[:n, :n] = _apart(problem)
    sheet.together[: len(together)] = together
    # where teams are kept, they and not the search decide how long most sit: even turns inside a team come first
    sheet.sit_cost[: problem.turns + 1] = _sit_cost(problem) // (1 if shares is None else 20)
    in_order = problem.rule is AfterPossession.CYCLE and not problem.surprise
    sheet.order_cost[:] = ORDER * (BACK_TO_BACK if in_order else 0)
    sheet.weights[:] = list((TIMED_WEIGHTS if problem.rule is AfterPossession.TIMED else WEIGHTS).values())
    _count(sheet, problem.baskets)
    return sheet


def _limits(problem: Problem, kind: WishKind, without: int) -> Ints:
    limits = np.full(problem.players, without, dtype=np.int64)
    for wish in problem.of_kind(kind):
        limits[list(wish.players)] = wish.number
    return limits


def _allowed(problem: Problem) -> Ints:
    allowed = np.ones((problem.players, len(problem.figures)), dtype=np.int64)
    for wish in problem.of_kind(WishKind.ONLY_AT):
        allowed[list(wish.players)] = [figure in wish.figures for figure in problem.figures]
    return allowed


def _apart(problem: Problem) -> Ints:
    apart = np.zeros((problem.players, problem.players), dtype=np.int64)
    for wish in problem.of_kind(WishKind.APART):
        group = list(wish.players)
        apart[np.ix_(group, group)] = 1
    np.fill_diagonal(apart, 0)
    return apart


def _together(problem: Problem) -> Ints:
    pairs = [(wish.players[0], other) for wish in problem.of_kind(WishKind.TOGETHER) for other in wish.players[1:]]
    return np.array(pairs, dtype=np.int64).reshape(-1, 2)


def _sit_cost(problem: Problem) -> Ints:
    """By length: one turn more than the shortest possible costs little, since it is what lets groups mix."""
    over = np.maximum(0, np.arange(problem.turns + 1) - max(1, problem.usual_sit))
    cost: Ints = LONGER * (over > 0) + TOO_LONG * np.maximum(0, over - 1) ** 2
    return cost


def _count(sheet: Sheet, baskets: int) -> None:
    """Fill the counts from the seats."""
    n = sheet.player_count
    group, role, basket, figure = (seat[:n] for seat in (sheet.group, sheet.role, sheet.basket, sheet.figure))
    playing = figure >= 0
    for row in sheet.who[: sheet.turn_count, :n]:
        on = row[playing]
        sheet.turns[on] += 1
        sheet.roles[on, role[playing]] += 1
        sheet.figures[on, figure[playing]] += 1
        for number in range(baskets):
            there, groups = row[basket == number], group[basket == number]
            same = groups[:, None] == groups
            sheet.mates[np.ix_(there, there)] += same & ~np.eye(there.size, dtype=bool)
            sheet.opponents[np.ix_(there, there)] += ~same


def played_seats(problem: Problem) -> Ints:
    """(played turns, seats) what stands."""
    rows = []
    for number in range(0, len(problem.played), problem.baskets):
        wave = problem.played[number : number + problem.baskets]
        on = [player for turn in wave for player in (*turn.attack, *turn.defence)]
        rows.append(on + [player for player in range(problem.players) if player not in on])
    return np.array(rows, dtype=np.int64).reshape(-1, problem.players)


def turns_of(problem: Problem, who: Ints, meetings: Meetings | None = None) -> tuple[Turn, ...]:
    """The seats as turns, basket by basket; ``meetings`` names the teams where they are kept."""
    here = presence(problem)
    size = problem.attack + problem.defence
    turns = []
    for number, (row, there) in enumerate(zip(who.tolist(), here, strict=True)):
        off = tuple(sorted(player for player in row[problem.on_floor :] if there[player]))
        for basket in range(problem.baskets):
            seats = row[basket * size : (basket + 1) * size]
            offence, neutral = seats[: problem.offence], seats[problem.offence : problem.attack]
            teams = meetings[number][basket] if meetings else (-1, -1)
            turns.append(Turn(tuple(offence), tuple(seats[problem.attack :]), tuple(neutral), off, *teams))
    return tuple(turns)

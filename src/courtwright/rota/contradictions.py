"""Wishes: whether they make sense, and, where they cannot all be kept, the fewest to give up.

The second is an integer programme, asked only where the search has found no rota
that keeps them all: players at figures in turns, one more unknown for each wish, 1
where it is given up. Its least sum names the smallest set; a sum of nothing is a
rota that keeps all, and the search goes on from there.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import TYPE_CHECKING, Final

import numpy as np

from courtwright.errors import RotaError
from courtwright.floor.records import Ints
from courtwright.rota.problem import HEALTH, PRESENCE, Problem, Wish, WishKind
from courtwright.rota.search import least_turns
from courtwright.rota.sheet import owed_turns, played_seats, presence

if TYPE_CHECKING:
    from scipy.sparse import csr_array

PAIRS: Final = frozenset({WishKind.APART, WishKind.TOGETHER})
HARD: Final = frozenset(WishKind) - PRESENCE - {WishKind.GUEST}
"""kinds that can be broken"""
LESS_GLADLY: Final = 1.01
"""what giving up a limit for a player's health weighs, against 1: of two smallest sets the other is named"""
SOLVER_S: Final = 60.0
"""only a guard: such programmes take a second or two"""


def check_wishes(problem: Problem) -> None:
    """Raise `RotaError` naming every wish that makes no sense by itself."""
    wrong = [f"{wish.text(problem.names)}: {why}" for wish in problem.wishes if (why := _nonsense(problem, wish))]
    if wrong:
        raise RotaError("; ".join(wrong))


def _nonsense(problem: Problem, wish: Wish) -> str:
    if wish.kind in PAIRS and len(set(wish.players)) < 2:
        return "names one player; name two or more"
    if wish.kind in (WishKind.AT_MOST, WishKind.IN_A_ROW) and wish.number < 1:
        return "must be 1 or more; for nobody to play, mark the player as away"
    if wish.kind in PRESENCE and not 1 <= wish.number <= problem.turns:
        return f"there are turns 1 to {problem.turns}"
    unknown = [figure for figure in wish.figures if figure not in problem.figures]
    if wish.kind is WishKind.ONLY_AT and (unknown or not wish.figures):
        return f"use some of {', '.join(problem.figures)}"
    return ""


def cannot_keep(problem: Problem, dropped: tuple[Wish, ...]) -> RotaError:
    """The refusal that names what to give up."""
    said = "; ".join(wish.text(problem.names) for wish in dropped)
    if len(dropped) == 1:
        return RotaError(f"these wishes cannot all be kept; give up this one and the rest can be: {said}")
    return RotaError(f"these wishes cannot all be kept; give up these {len(dropped)} and the rest can be: {said}")


def fewest_to_drop(problem: Problem) -> tuple[tuple[Wish, ...], Ints]:
    """The smallest set of wishes that must be given up, and seats (turns, seats) that keep the rest.

    For mixed teams. The set is empty where all can be kept.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 (only here)

    programme = _Programme(problem)
    matrix, low, high = programme.rows()
    cost = np.zeros(programme.size)
    for number, wish in enumerate(programme.wishes):
        cost[programme.places + number] = LESS_GLADLY if wish.kind in HEALTH else 1.0
    found = milp(
        cost,
        constraints=LinearConstraint(matrix, low, high),
        bounds=Bounds(0, 1),
        integrality=np.ones(programme.size, dtype=np.int64),
        options={"time_limit": SOLVER_S},
    )
    if found.x is None:
        raise RotaError("it could not be told in a minute which wishes to give up; leave some out and try again")
    chosen = np.round(found.x).astype(bool)
    dropped = tuple(wish for number, wish in enumerate(programme.wishes) if chosen[programme.places + number])
    return dropped, programme.seats(chosen)


Row = tuple[list[int], list[float], float, float]
"""unknowns, factors, least, most"""


class _Programme:
    """The unknowns: player, open turn, basket, and figure, or side, or neither, as the wishes need; then one a wish."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.here = presence(problem)
        self.start = len(problem.played) // problem.baskets
        self.open = range(self.start, problem.turns)
        self.wishes = [wish for wish in problem.wishes if wish.kind in HARD]
        self.slots = self._slots()
        self.shape = problem.players, len(self.open), problem.baskets, len(self.slots)
        self.places = int(np.prod(self.shape))
        self.size = self.places + len(self.wishes)
        self.index = np.arange(self.places).reshape(self.shape)
        self.sides = [
            [at for at, slot in enumerate(self.slots) if problem.figures[slot[0]].startswith("X") == defends]
            for defends in (False, True)
        ]
        self.past = played_seats(problem)[:, : problem.on_floor]

    def _slots(self) -> list[list[int]]:
        """The figures at a basket that need not be told apart: the fewer unknowns, the sooner it is done."""
        figures = range(len(self.problem.figures))
        kinds = {wish.kind for wish in self.wishes}
        if WishKind.ONLY_AT in kinds:
            return [[figure] for figure in figures]
        if kinds & PAIRS:
            return [list(figures[: self.problem.attack]), list(figures[self.problem.attack :])]
        return [list(figures)]

    def rows(self) -> tuple[csr_array, list[float], list[float]]:
        """All that must hold, as sparse rows with their limits."""
        from scipy.sparse import csr_array  # noqa: PLC0415

        columns: list[int] = []
        factors: list[float] = []
        starts, low, high = [0], list[float](), list[float]()
        for unknowns, factor, least, most in self._all():
            columns += unknowns
            factors += factor
            starts.append(len(columns))
            low.append(least)
            high.append(most)
        return csr_array((factors, columns, starts), shape=(len(low), self.size)), low, high

    def _all(self) -> Iterator[Row]:
        for turn, basket, (at, slot) in product(range(self.shape[1]), range(self.shape[2]), enumerate(self.slots)):
            yield self.index[:, turn, basket, at].tolist(), [1.0] * self.shape[0], len(slot), len(slot)
        for player, turn in product(range(self.shape[0]), range(self.shape[1])):  # one place for each player, if here
            seats = self.index[player, turn].ravel().tolist()
            yield seats, [1.0] * len(seats), 0, float(self.here[self.start + turn, player])
        for player, least in enumerate(least_turns(owed_turns(self.problem, self.here)).tolist()):
            seats = self.index[player].ravel().tolist()
            yield seats, [1.0] * len(seats), least - int((self.past == player).sum()), np.inf
        for number, wish in enumerate(self.wishes):
            yield from self._kept(wish, self.places + number)

    def _kept(self, wish: Wish, drop: int) -> Iterator[Row]:
        match wish.kind:
            case WishKind.APART:
                yield from self._apart(wish, drop)
            case WishKind.TOGETHER:
                yield from self._together(wish, drop)
            case WishKind.ONLY_AT:
                figures = self.problem.figures
                wrong = [at for at, slot in enumerate(self.slots) if figures[slot[0]] not in wish.figures]
                for player in wish.players:
                    yield self._at_most(self.index[player][:, :, wrong], 0, drop)
            case _:
                for player in wish.players:
                    yield from self._limited(player, wish, drop)

    def _at_most(self, places: Ints, most: int, drop: int) -> Row:
        unknowns = places.ravel().tolist()
        return [*unknowns, drop], [1.0] * len(unknowns) + [-float(len(unknowns))], -np.inf, float(most)

    def _apart(self, wish: Wish, drop: int) -> Iterator[Row]:
        group = list(wish.players)
        for turn, basket, side in product(range(self.shape[1]), range(self.shape[2]), self.sides):
            yield self._at_most(self.index[group][:, turn, basket][:, side], 1, drop)

    def _together(self, wish: Wish, drop: int) -> Iterator[Row]:
        one = wish.players[0]
        for other, turn in product(wish.players[1:], range(self.shape[1])):
            if not (self.here[self.start + turn, one] and self.here[self.start + turn, other]):
                continue
            for basket, side in product(range(self.shape[2]), self.sides):
                mine = self.index[one, turn, basket, side].tolist()
                theirs = self.index[other, turn, basket, side].tolist()
                difference = [1.0] * len(mine) + [-1.0] * len(theirs)
                yield [*mine, *theirs, drop], [*difference, -1.0], -np.inf, 0
                yield [*mine, *theirs, drop], [*difference, 1.0], 0, np.inf

    def _limited(self, player: int, wish: Wish, drop: int) -> Iterator[Row]:
        past = (self.past == player).any(axis=1).astype(int).tolist()
        if wish.kind is WishKind.AT_MOST:
            yield self._at_most(self.index[player], wish.number - sum(past), drop)
            return
        length = wish.number + 1
        for first in range(max(0, self.start - wish.number), self.problem.turns - wish.number):
            before = sum(past[first : first + length])
            turns = slice(max(0, first - self.start), first + length - self.start)
            yield self._at_most(self.index[player, turns], wish.number - before, drop)

    def seats(self, chosen: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> Ints:
        """Who sits where, turn by turn, those played first."""
        problem = self.problem
        who = np.empty((problem.turns, problem.players), dtype=np.int64)
        who[: self.start] = played_seats(problem)
        at = chosen[: self.places].reshape(self.shape)
        for turn in range(self.shape[1]):
            places = at[:, turn].reshape(problem.players, -1).T  # basket by basket, slot by slot: as the seats stand
            on = [player for place in places for player in np.flatnonzero(place).tolist()]
            who[self.start + turn] = on + [player for player in range(problem.players) if player not in on]
        return who

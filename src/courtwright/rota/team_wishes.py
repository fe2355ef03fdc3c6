"""Who wants to be in one team, or not: kept exactly, and where they contradict, which ones and what to drop."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb
from typing import Final

from courtwright.errors import RotaError
from courtwright.rota.words import listed

SUBSETS: Final = 5000
"""so many sets of wishes are tried for the smallest (twelve wishes have 4095); with more it may not be the smallest"""
TRIES: Final = 100_000
"""seats tried before a split that keeps the wishes counts as not found"""


@dataclass(frozen=True, slots=True)
class TeamWish:
    """Players to keep in one team, or all in different ones."""

    players: tuple[int, ...]
    together: bool

    def said(self, names: Sequence[str]) -> str:
        """Give the wish in words."""
        called = [names[player] for player in self.players]
        if self.together:
            return f"{listed(called)} together"
        return f"{called[0]} apart from {called[1]}" if len(called) == 2 else f"{listed(called)} all apart"


@dataclass(frozen=True, slots=True)
class Units:
    """What the wishes leave to deal out: players who stay together are one unit, and some units exclude each other."""

    members: tuple[tuple[int, ...], ...]
    clashes: tuple[frozenset[int], ...]
    """per unit, the units that may not be in its team; itself, if its players are to be together and apart"""


def units_of(players: Sequence[int], wishes: Sequence[TeamWish]) -> Units:
    """Join those who stay together, in the order of `players`, and say who excludes whom."""
    head = {player: player for player in players}
    for wish in wishes:
        if wish.together:
            joined = {head[player] for player in wish.players}
            head = {player: min(joined) if first in joined else first for player, first in head.items()}
    heads = list(dict.fromkeys(head[player] for player in players))
    unit = {player: heads.index(first) for player, first in head.items()}
    clashes: list[set[int]] = [set() for _ in heads]
    for wish in wishes:
        for one, other in combinations(wish.players, 2) if not wish.together else ():
            clashes[unit[one]].add(unit[other])
            clashes[unit[other]].add(unit[one])
    members = tuple(tuple(player for player in players if unit[player] == number) for number in range(len(heads)))
    return Units(members, tuple(map(frozenset, clashes)))


def seated(
    units: Units, room: Sequence[int], order: Sequence[int], preference: Callable[[list[list[int]], int], float]
) -> list[list[int]] | None:
    """Seat the units in teams of exactly that room; the first way found, or None if there is none (or `TRIES` run out).

    Parameters
    ----------
    room
        Players per team.
    order
        The units, as they are to be seated.
    preference
        Of two teams that a unit may join, the one for which this is less is tried first.
    """
    teams: list[list[int]] = [[] for _ in room]
    left = list(room)
    tries = 0

    def fits(unit: int) -> Iterator[int]:
        """Teams it may join; of teams that are alike, empty and with the same room, one."""
        seen = set()
        for team in sorted(range(len(teams)), key=lambda team: preference(teams, team)):
            alike = left[team] if not teams[team] else -1 - team
            if (
                left[team] >= len(units.members[unit])
                and alike not in seen
                and units.clashes[unit].isdisjoint(teams[team])
            ):
                seen.add(alike)
                yield team

    def seat(place: int) -> bool:
        nonlocal tries
        if place == len(order):
            return True
        unit = order[place]
        size = len(units.members[unit])
        for team in fits(unit):
            tries += 1
            if tries > TRIES:
                return False
            teams[team].append(unit)
            left[team] -= size
            if seat(place + 1):
                return True
            teams[team].pop()
            left[team] += size
        return False

    return teams if seat(0) else None


def possible(players: int, room: Sequence[int], wishes: Sequence[TeamWish]) -> bool:
    """Whether a split into teams of that room keeps all the wishes."""
    units = units_of(range(players), wishes)
    if any(number in others for number, others in enumerate(units.clashes)):
        return False
    return seating(units, room) is not None


def seating(units: Units, room: Sequence[int]) -> list[list[int]] | None:
    """Seat the units in teams of exactly that room, those that are hardest to seat first."""
    order = sorted(range(len(units.members)), key=lambda unit: (-len(units.members[unit]), -len(units.clashes[unit])))
    return seated(units, room, order, lambda teams, team: -len(teams[team]))


def check_team_wishes(players: int, room: Sequence[int], wishes: Sequence[TeamWish], names: Sequence[str]) -> None:
    """Refuse wishes that cannot all be kept, naming the fewest that contradict and the fewest to drop.

    Raises
    ------
    RotaError
        They contradict each other or the sizes of the teams, or one of them names nobody, or somebody twice.
    """
    for wish in wishes:
        known = [player for player in wish.players if 0 <= player < players]
        if len(set(known)) < max(2, len(wish.players)):
            raise RotaError(
                f"keep together and keep apart each take two or more different players, numbered 0 to {players - 1}"
            )
    if possible(players, room, wishes):
        return
    clash = [wishes[at] for at in _fewest(wishes, lambda chosen: not possible(players, room, chosen))]
    dropped = _fewest(wishes, lambda gone: possible(players, room, [wish for wish in wishes if wish not in gone]))
    raise RotaError(
        f"no {_shape(room)} can keep {'; '.join(wish.said(names) for wish in clash)}. "
        f"Drop {listed([f'“{wishes[at].said(names)}”' for at in dropped])}, and the rest can be kept"
    )


def _shape(room: Sequence[int]) -> str:
    sizes = sorted(set(room), reverse=True)
    return f"split into {len(room)} teams of {' or '.join(map(str, sizes))}"


def _fewest(wishes: Sequence[TeamWish], enough: Callable[[list[TeamWish]], bool]) -> list[int]:
    """The fewest wishes, by place, that are enough: adding more must never make them too few.

    Past `SUBSETS` sets, a set from which none can be left out.
    """
    tried = 0
    for size in range(1, len(wishes) + 1):
        tried += comb(len(wishes), size)
        if tried > SUBSETS:
            break
        for places in combinations(range(len(wishes)), size):
            if enough([wishes[place] for place in places]):
                return list(places)
    kept = list(range(len(wishes)))
    for place in range(len(wishes)):
        without = [other for other in kept if other != place]
        if enough([wishes[other] for other in without]):
            kept = without
    return kept

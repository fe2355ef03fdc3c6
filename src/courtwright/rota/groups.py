"""New groups each round: a known design where one fits, else a search, and how far from the best possible."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import comb

from courtwright.errors import RotaError
from courtwright.rota.mixing import mixed_groups
from courtwright.rota.resolvable import Grouping, Round, groups, rounds_bound
from courtwright.rota.turns import Matrix


@dataclass(frozen=True)
class GroupPlan:
    """Rounds of groups of players 0 to n - 1.

    A **repeat** is two players together in two of the rounds; together in three rounds are three repeats.
    """

    players: int
    size: int
    """as asked; groups differ by one where it does not divide the players"""
    rounds: Grouping
    seed: int
    source: str
    """the construction, or how it was searched"""

    @cached_property
    def together(self) -> Matrix:
        """Rounds in which each player is with each other."""
        counts = [[0] * self.players for _ in range(self.players)]
        for teams in self.rounds:
            for one, other in (pair for team in teams for pair in combinations(team, 2)):
                counts[one][other] += 1
                counts[other][one] += 1
        return tuple(map(tuple, counts))

    @property
    def _pairs(self) -> list[int]:
        return [self.together[one][other] for one, other in combinations(range(self.players), 2)]

    @property
    def repeats(self) -> int:
        """How many there are."""
        return sum(comb(times, 2) for times in self._pairs)

    @property
    def least_repeats(self) -> int:
        """No plan of this shape has fewer; often none has so few. See `least_repeats`."""
        return least_repeats([len(team) for team in self.rounds[0]], len(self.rounds))

    @property
    def perfect(self) -> bool:
        """No plan has fewer repeats."""
        return self.repeats == self.least_repeats

    @property
    def sentence(self) -> str:
        """How good it is, in one sentence."""
        repeats, least = self.repeats, self.least_repeats
        if repeats > least:
            allowed = f"and {least} at least must be" if least else "where counting would allow none"
            return f"Within {repeats - least} of the best possible: {_counted(repeats)}, {allowed}."
        if repeats == 0:
            return "Perfect: no two players are together twice."
        fewest, most = min(self._pairs), max(self._pairs)
        if fewest == most:
            return f"Perfect: every two players are together {most} times."
        if most - fewest == 1:
            return f"Perfect: every two players are together {fewest} or {most} times."
        return f"Perfect: {_counted(repeats)}, and no plan of {len(self.rounds)} rounds has fewer."


def _counted(repeats: int) -> str:
    return "1 repeat" if repeats == 1 else f"{repeats} repeats"


def groups_of(players: int, size: int, rounds: int, seed: int = 0, *, steps: int | None = None) -> GroupPlan:
    """New groups each round, with as few players together again as can be found.

    Parameters
    ----------
    players, size
        Groups as near to `size` as the number of players allows, none apart by more than one: 10 in threes are 3, 3, 4.
    rounds
        How many times the groups are made anew.
    seed
        Same seed, same groups; another seed deals the players anew.
    steps
        Exchanges to try where no design fits. About half a second's worth if left out; more to look longer.

    Raises
    ------
    RotaError
        Fewer than two players or a round, or a size they cannot fill.
    """
    sizes = group_sizes(players, size)
    if rounds < 1:
        raise RotaError("groups need one round at least")
    rng = random.Random(seed)
    design = _design_of(players, size)
    # a design in which every pair is together once stays as even as can be when it is played again, dealt anew
    full = design is not None and len(design) * sum(comb(each, 2) for each in sizes) == comb(players, 2)
    if design is not None and (full or rounds <= len(design)):
        passes = [_dealt(design, players, rng) for _ in range(-(-rounds // len(design)))]
        found = tuple(teams for dealt in passes for teams in dealt)[:rounds]
        return GroupPlan(players, size, found, seed, "a design without repeats")
    goal = least_repeats(sizes, rounds)
    return GroupPlan(players, size, mixed_groups(players, sizes, rounds, seed, goal, steps), seed, "searched")


def group_sizes(players: int, size: int) -> list[int]:
    """The sizes nearest to `size` that differ by one at most, larger first; of equals the smaller groups, nobody alone.

    Raises
    ------
    RotaError
        They cannot be filled.
    """
    if not 2 <= size <= players:
        raise RotaError(f"{players} players cannot make groups of {size}; ask for groups of 2 to {players}")
    splits = []
    for count in range(1, players // 2 + 1):
        each, larger = divmod(players, count)
        splits.append([each + 1] * larger + [each] * (count - larger))
    return min(reversed(splits), key=lambda sizes: sum(abs(each - size) for each in sizes))


def _design_of(players: int, size: int) -> Grouping | None:
    """The design for these players, or the one for a player more with that one left out: 14 in threes, 15 in fours."""
    exact = groups(players, size)
    if exact is not None or players % size != size - 1 or size == 2:
        return exact
    one_more = groups(players + 1, size)
    return one_more and tuple(
        tuple(tuple(player for player in team if player < players) for team in teams) for teams in one_more
    )


def _dealt(design: Grouping, players: int, rng: random.Random) -> list[Round]:
    """The design with other players at its places, and rounds, groups and places in another order."""
    deal = rng.sample(range(players), players)
    rounds = [[tuple(sorted(deal[player] for player in team)) for team in teams] for teams in design]
    return [tuple(rng.sample(teams, len(teams))) for teams in rng.sample(rounds, len(rounds))]


def least_repeats(sizes: list[int], rounds: int) -> int:
    """What no plan can be below: the greatest of three counts.

    - All meetings shared evenly among all pairs.
    - Any two rounds: a group of the one is spread over the groups of the other as thinly as it goes.
    - Where only R rounds are free of repeats (`rounds_bound`), among any R + 1 two share a pair; so at
      least as many do as when the rounds are parted into R heaps as even as can be (Turán 1941).
    """
    players, count = sum(sizes), len(sizes)
    shared = _evenly(rounds * sum(comb(size, 2) for size in sizes), comb(players, 2))
    any_two = comb(rounds, 2) * sum(_evenly(size, count) for size in sizes)
    if len(set(sizes)) > 1:
        return max(shared, any_two)
    return max(shared, any_two, _evenly(rounds, rounds_bound(players, sizes[0]).rounds))


def _evenly(things: int, heaps: int) -> int:
    """Pairs in the same heap when the heaps are as even as can be: the fewest there can be."""
    each, over = divmod(things, heaps)
    return over * comb(each + 1, 2) + (heaps - over) * comb(each, 2)

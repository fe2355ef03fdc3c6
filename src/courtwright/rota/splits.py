"""Splits of players into even teams: every one where they are few, else climbing from several deals."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from itertools import combinations, islice
from typing import Final

from courtwright.rota.team_wishes import TeamWish, seated, seating, units_of

ALL_SPLITS: Final = 16_000
"""up to so many splits every one is looked at (12 in four teams has 15400, 16 in two 6435)"""
MOST_VISITED: Final = 10 * ALL_SPLITS
"""and no longer than this among wishes that leave many dead ends"""
STARTS: Final = 20
"""beyond that, so many climbs from different deals"""

Split = list[list[int]]
"""units by team"""
Score = tuple[int, int]
Swap = tuple[int, tuple[int, ...], int, tuple[int, ...]]
"""a team, the units that go from it, the team they go to, those that come back"""


def team_sizes(players: int, count: int) -> list[int]:
    """Players per team, as even as can be, larger first."""
    return [players // count + (team < players % count) for team in range(count)]


class Deal:
    """One question: these players, so many teams, these wishes (which can be kept: see `check_team_wishes`)."""

    def __init__(
        self, worth: Sequence[int], count: int, rng: random.Random, even: str, wishes: Sequence[TeamWish] = ()
    ) -> None:
        self.count, self.rng, self.wished = count, rng, bool(wishes)
        self.size, self.larger = divmod(len(worth), count)
        self.by_mean = even == "mean" and self.larger > 0  # with equal sizes both ask for the same
        self.scale = self.size * (self.size + 1) if self.by_mean else self.size if even == "mean" else 1
        """what differences are multiplied by, to stay whole"""
        self.grain, self.total = math.gcd(*worth), sum(worth)
        self.units = units_of(rng.sample(range(len(worth)), len(worth)), wishes)
        self.players = len(worth)
        # a team that is one short has an empty place, and never two
        self.empty = range(len(self.units.members), len(self.units.members) + (-self.players) % count)
        self.worth = [sum(worth[player] for player in unit) for unit in self.units.members] + [0] * len(self.empty)
        self.heads = [len(unit) for unit in self.units.members] + [0] * len(self.empty)
        self.room = [max(1, heads) for heads in self.heads]
        self.clashes = [*self.units.clashes, *(frozenset(self.empty) - {place} for place in self.empty)]
        self.visited = 0

    @property
    def splits(self) -> int:
        """How many different splits there are, wishes apart."""
        smaller = self.count - self.larger
        seatings: int = math.factorial(self.size) ** smaller * math.factorial(self.size + 1) ** self.larger
        return math.factorial(self.players) // (seatings * math.factorial(smaller) * math.factorial(self.larger))

    @property
    def _likely_splits(self) -> float:
        """About how many keep the wishes: two players are in one team about once in `count`."""
        joined = self.players - len(self.units.members)
        excluded = sum(map(len, self.units.clashes)) / 2
        share = 1 / self.count
        likely: float = self.splits * share**joined * (1 - share) ** excluded
        return likely

    def teams(self, split: Split) -> tuple[tuple[int, ...], ...]:
        """The players of each team, in order."""
        members = [*self.units.members, *[()] * len(self.empty)]
        return tuple(sorted(tuple(sorted(player for unit in team for player in members[unit])) for team in split))

    def score(self, split: Split) -> Score:
        """Lower is more even: best team less worst, then how far all are from each other."""
        return _score([self._value(team) for team in split])

    def _value(self, team: list[int]) -> int:
        worth = sum(self.worth[unit] for unit in team)
        # the mean of n over size·(size+1)/n, to stay in whole numbers
        return worth * self.scale // sum(self.heads[unit] for unit in team) if self.by_mean else worth

    @property
    def limit(self) -> int:
        """No split can differ less: sums in steps of a common grain cannot all be equal unless the total divides."""
        uneven = not self.by_mean and self.grain and self.total // self.grain % self.count
        return self.grain if uneven else 0

    def ranked(self, how_many: int) -> tuple[list[tuple[Score, Split]], bool]:
        """The most even splits, best first, and whether that is proven.

        Stops early once so many are found that counting says cannot be bettered.
        """
        if self._likely_splits <= 2 * ALL_SPLITS:
            few = list(islice(self.every_split(), ALL_SPLITS + 1))
            if len(few) <= ALL_SPLITS and self.visited <= MOST_VISITED:
                return self.best_of(iter(few), how_many), True
        return self.best_of(self.climbs(neighbours=how_many > 1), how_many), False

    def best_of(self, splits: Iterator[Split], how_many: int) -> list[tuple[Score, Split]]:
        """The best so many, best first; of equals those that came first."""
        best: dict[tuple[tuple[int, ...], ...], tuple[Score, Split]] = {}
        worst: Score | None = None
        for split in splits:
            score = self.score(split)
            if worst is not None and score >= worst:
                continue
            best.setdefault(self.teams(split), (score, split))
            if len(best) > how_many:
                best.pop(max(reversed(best), key=lambda teams: best[teams][0]))
            if len(best) == how_many:
                worst = max(score for score, _ in best.values())
                if worst[0] <= self.limit:
                    break
        return sorted(best.values(), key=lambda found: found[0])

    def every_split(self) -> Iterator[Split]:
        """All splits that keep the wishes, each once, in an order that the seed decides."""
        return self._splits(tuple(range(len(self.units.members))), self.count - self.larger, self.larger)

    def _splits(self, units: tuple[int, ...], smaller: int, larger: int) -> Iterator[Split]:
        self.visited += 1
        if self.visited > MOST_VISITED:
            return
        if not units:
            yield []
            return
        if smaller + larger == 1:
            yield from [[list(units)]] if self._agree(units) else []
            return
        first, rest = units[0], units[1:]
        for size, left in ((self.size, smaller), (self.size + 1, larger)):
            if not left:
                continue
            below, above = (smaller - 1, larger) if size == self.size else (smaller, larger - 1)
            for mates in self._mates((first,), rest, size - self.heads[first]):
                others = tuple(unit for unit in rest if unit not in mates)
                for split in self._splits(others, below, above):
                    yield [[first, *mates], *split]

    def _agree(self, team: tuple[int, ...]) -> bool:
        return not self.wished or all(self.clashes[unit].isdisjoint(team) for unit in team)

    def _mates(self, team: tuple[int, ...], rest: tuple[int, ...], room: int) -> Iterator[tuple[int, ...]]:
        """All ways to fill the team's room from the rest."""
        if room <= 0 or not self.wished:
            yield from combinations(rest, room) if room >= 0 else ()
            return
        seats = sum(self.heads[unit] for unit in rest)
        for place, unit in enumerate(rest):
            if seats < room:
                break
            seats -= self.heads[unit]
            if self.heads[unit] <= room and self.clashes[unit].isdisjoint(team):
                for more in self._mates((*team, unit), rest[place + 1 :], room - self.heads[unit]):
                    yield unit, *more

    def climbs(self, *, neighbours: bool = False) -> Iterator[Split]:
        """Climb from several deals; with the neighbours of each summit, to have more to rank."""
        for start in range(STARTS):
            summit = self._climbed(self._dealt(start / STARTS))
            yield summit
            if neighbours:
                for swap in list(self._exchanges(summit)):
                    yield self._exchanged(summit, swap)

    def _dealt(self, luck: float) -> Split:
        """Large units and good players first, give or take some luck, each to the team that has least so far."""
        units = range(len(self.units.members))
        give = luck * (max(self.worth) - min(self.worth)) + 1
        order = sorted(units, key=lambda unit: (-self.heads[unit], -self.worth[unit] - give * self.rng.random()))

        sizes = team_sizes(self.players, self.count)

        def so_far(teams: Split, team: int) -> float:
            return sum(self.worth[unit] for unit in teams[team])

        split = seated(self.units, sizes, order, so_far) or seating(self.units, sizes) or []
        for team, place in zip(split[self.larger :], self.empty, strict=False):
            team.append(place)
        return split

    def _climbed(self, split: Split) -> Split:
        """Exchange units of equal room (or a player and an empty place) for as long as one exchange helps."""
        score = self.score(split)
        while True:
            values = [self._value(team) for team in split]
            for swap in self._exchanges(split):
                if (better := self._swapped_score(split, values, swap)) < score:
                    split, score = self._exchanged(split, swap), better
                    break
            else:
                return split

    def _swapped_score(self, split: Split, values: list[int], swap: Swap) -> Score:
        near, going, far, coming = swap
        new = values.copy()
        if self.by_mean:
            swapped = self._exchanged(split, swap)
            new[near], new[far] = self._value(swapped[near]), self._value(swapped[far])
        else:
            more = sum(self.worth[unit] for unit in coming) - sum(self.worth[unit] for unit in going)
            new[near] += more
            new[far] -= more
        return _score(new)

    def _exchanges(self, split: Split) -> Iterator[Swap]:
        """One unit of a team against as many of another as fill its room, all wishes kept."""
        for one, other in combinations(range(self.count), 2):
            for near, far in ((one, other), (other, one)):
                for unit in split[near]:
                    if near == other and self.room[unit] == 1:
                        continue  # one against one was had the other way round
                    for units in self._filling(split[far], self.room[unit]):
                        if self._may(split, near, (unit,), far, units):
                            yield near, (unit,), far, units

    def _filling(self, team: list[int], room: int) -> Iterator[tuple[int, ...]]:
        for number in range(1, room + 1):
            for units in combinations(team, number):
                if sum(self.room[unit] for unit in units) == room:
                    yield units

    def _may(self, split: Split, near: int, going: tuple[int, ...], far: int, coming: tuple[int, ...]) -> bool:
        if not self.wished and not self.empty:
            return True
        staying, there = set(split[near]).difference(going), set(split[far]).difference(coming)
        return all(self.clashes[unit].isdisjoint(there) for unit in going) and all(
            self.clashes[unit].isdisjoint(staying) for unit in coming
        )

    @staticmethod
    def _exchanged(split: Split, swap: Swap) -> Split:
        near, going, far, coming = swap
        new = list(split)
        new[near] = [*(unit for unit in split[near] if unit not in going), *coming]
        new[far] = [*(unit for unit in split[far] if unit not in coming), *going]
        return new


def _score(values: list[int]) -> Score:
    return max(values) - min(values), sum(value * value for value in values)

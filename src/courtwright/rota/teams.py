"""Even teams from the coach's own 1–5."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Final, Literal

from courtwright.errors import RotaError

MIDDLE: Final = 3.0
"""what a player without a grade counts as"""
ALL_SPLITS: Final = 16_000
"""up to so many splits every one is looked at (12 in four teams has 15400, 16 in two 6435)"""
STARTS: Final = 20
"""beyond that, so many climbs from different deals"""
GRAIN: Final = 1000
"""grades are compared to three decimals, as whole numbers"""

EMPTY: Final = -1
Split = list[list[int]]
Score = tuple[int, int]


def even_teams(
    grades: Sequence[float | None], count: int, *, seed: int = 0, even: Literal["sum", "mean"] = "sum"
) -> tuple[tuple[int, ...], ...]:
    """Split players into `count` teams whose sizes differ by at most one and whose grades are as even as can be.

    Parameters
    ----------
    grades
        One per player. A missing one (None or nan) counts as the middle, 3.
    count
        How many teams.
    seed
        Chooses among splits that are equally good.
    even
        What is evened out where sizes differ: the `sum` of a team's grades, or the
        `mean`, which is right where every team has the same number on the floor at a time.

    Returns
    -------
    The teams, as places in `grades`. The best of all splits where there are no more
    than `ALL_SPLITS`, else the best that repeated climbing by exchanges finds.
    """
    if any(grade is not None and math.isinf(grade) for grade in grades):
        raise RotaError("a grade must be a number, 1 to 5, or be left out")
    if not 1 <= count <= len(grades):
        raise RotaError(f"{len(grades)} players cannot make {count} teams; ask for between 1 and {len(grades)}")
    deal = _Deal([_worth(grade) for grade in grades], count, random.Random(seed), even)
    best = deal.best_of(deal.every_split() if deal.splits <= ALL_SPLITS else deal.climbs())
    teams = [tuple(sorted(player for player in team if player != EMPTY)) for team in best]
    return tuple(sorted(teams))


def _worth(grade: float | None) -> int:
    return round(GRAIN * (MIDDLE if grade is None or math.isnan(grade) else grade))


class _Deal:
    """One question: these players, so many teams."""

    def __init__(self, worth: list[int], count: int, rng: random.Random, even: str) -> None:
        self.worth, self.count, self.rng = worth, count, rng
        self.size, self.larger = divmod(len(worth), count)
        self.by_mean = even == "mean" and self.larger > 0  # with equal sizes both ask for the same
        self.shuffled = rng.sample(range(len(worth)), len(worth))

    @property
    def splits(self) -> int:
        """How many different splits there are."""
        smaller = self.count - self.larger
        seatings: int = math.factorial(self.size) ** smaller * math.factorial(self.size + 1) ** self.larger
        return math.factorial(len(self.worth)) // (seatings * math.factorial(smaller) * math.factorial(self.larger))

    def score(self, split: Split) -> Score:
        """Lower is more even: best team less worst, then how far all are from each other."""
        values = [self._value([self.worth[player] for player in team if player != EMPTY]) for team in split]
        return max(values) - min(values), sum(value * value for value in values)

    def _value(self, worths: list[int]) -> int:
        # the mean of n over size·(size+1)/n, to stay in whole numbers
        return sum(worths) * (self.size * (self.size + 1) // len(worths)) if self.by_mean else sum(worths)

    def best_of(self, splits: Iterator[Split]) -> Split:
        """The first of the best; stops early at one that counting says cannot be bettered."""
        limit = self._limit()
        best: Split = []
        lowest: Score | None = None
        for split in splits:
            score = self.score(split)
            if lowest is None or score < lowest:
                best, lowest = split, score
            if lowest[0] <= limit:
                break
        return best

    def _limit(self) -> int:
        """Sums in steps of a common grain cannot all be equal unless the total divides."""
        grain = math.gcd(*self.worth)
        return 0 if self.by_mean or grain == 0 or sum(self.worth) // grain % self.count == 0 else grain

    def every_split(self) -> Iterator[Split]:
        """All splits, each once, in an order that the seed decides."""
        return self._splits(tuple(self.shuffled), self.count - self.larger, self.larger)

    def _splits(self, players: tuple[int, ...], smaller: int, larger: int) -> Iterator[Split]:
        if not players:
            yield []
            return
        first, rest = players[0], players[1:]
        for size, left in ((self.size, smaller), (self.size + 1, larger)):
            if not left:
                continue
            below, above = (smaller - 1, larger) if size == self.size else (smaller, larger - 1)
            for mates in combinations(rest, size - 1):
                others = tuple(player for player in rest if player not in mates)
                for split in self._splits(others, below, above):
                    yield [[first, *mates], *split]

    def climbs(self) -> Iterator[Split]:
        """Climb from several deals: best first in a snake through the teams, equals in random order."""
        for _ in range(STARTS):
            yield self._climbed(self._snake())

    def _snake(self) -> Split:
        players = self.rng.sample(range(len(self.worth)), len(self.worth))
        players.sort(key=lambda player: -self.worth[player])
        split: Split = [[] for _ in range(self.count)]
        for rank, player in enumerate(players):
            lap, place = divmod(rank, self.count)
            split[place if lap % 2 == 0 else self.count - 1 - place].append(player)
        for team in split:
            team.extend([EMPTY] * (self.size + (self.larger > 0) - len(team)))
        return split

    def _climbed(self, split: Split) -> Split:
        """Exchange two players (or a player and an empty place) for as long as one exchange helps."""
        score = self.score(split)
        while True:
            better = min((self._exchanged_score(split, seats), seats) for seats in self._exchanges(split))
            if better[0] >= score:
                return split
            score = better[0]
            self._exchange(split, better[1])

    def _exchanges(self, split: Split) -> Iterator[tuple[int, int, int, int]]:
        seats = range(len(split[0]))
        for one, other in combinations(range(self.count), 2):
            for place in seats:
                for across in seats:
                    yield one, place, other, across

    def _exchanged_score(self, split: Split, seats: tuple[int, int, int, int]) -> Score:
        self._exchange(split, seats)
        score = self.score(split)
        self._exchange(split, seats)
        return score

    @staticmethod
    def _exchange(split: Split, seats: tuple[int, int, int, int]) -> None:
        one, place, other, across = seats
        split[one][place], split[other][across] = split[other][across], split[one][place]

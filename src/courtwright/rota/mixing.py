"""The search for groups that mix: exchange two players of a round, the best exchange each time, none at once undone.

A tabu search (Glover 1989) over whole numbers with a budget of steps, not of time: the same seed gives the same groups.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.rota.resolvable import Grouping

STEPS: Final = 3000
"""exchanges, at most, unless asked for more"""
LOOKS: Final = 8_000_000
"""seats compared, at most: keeps large cases to about half a second"""
LEAST_STEPS: Final = 100
KEPT: Final = 3
"""steps before two players may change back, and up to `KEPT_MORE` more by lot"""
KEPT_MORE: Final = 8
TIES: Final = 256
"""equals are chosen among by lot"""
NEVER: Final = 1 << 40
EMPTY_APART: Final = 10_000
"""two empty seats never share a group, so sizes stay"""

Numbers = NDArray[np.int64]


def mixed_groups(
    players: int, sizes: list[int], rounds: int, seed: int, goal: int, steps: int | None = None
) -> Grouping:
    """Rounds of groups of these sizes with as few pairs together again as is found.

    Parameters
    ----------
    sizes
        Of the groups in each round; they differ by one at most and add up to `players`.
    goal
        Repeats that cannot be bettered: the search ends there.
    steps
        Exchanges to try; by the size of the problem if left out.
    """
    table = _Table(players, sizes, rounds, np.random.default_rng(seed))
    if steps is None:
        steps = min(STEPS, max(LEAST_STEPS, LOOKS // table.until.size))
    best, fewest = table.group.copy(), table.repeats()
    for step in range(steps):
        if fewest <= goal:
            break
        table.exchange(step, fewest)
        if table.repeats() < fewest:
            best, fewest = table.group.copy(), table.repeats()
    return tuple(
        tuple(tuple(np.flatnonzero(seated[:players] == group).tolist()) for group in range(len(sizes)))
        for seated in best
    )


class _Table:
    """Who sits in which group in each round; groups are filled up with empty seats to one size."""

    def __init__(self, players: int, sizes: list[int], rounds: int, rng: np.random.Generator) -> None:
        self.rng = rng
        seats = len(sizes) * max(sizes)
        groups = np.arange(len(sizes))
        filled = [*np.repeat(groups, sizes), *np.repeat(groups, max(sizes) - np.array(sizes))]
        order = [[*rng.permutation(players), *range(players, seats)] for _ in range(rounds)]
        self.group: Numbers = np.empty((rounds, seats), dtype=np.int64)
        np.put_along_axis(self.group, np.array(order), np.array([filled] * rounds), axis=1)
        self.apart: Numbers = np.zeros((seats, seats), dtype=np.int64)
        self.apart[players:, players:] = EMPTY_APART
        self.counts = np.zeros_like(self.apart, dtype=bool)
        self.counts[:players, :players] = True
        for pairs in (self.apart, self.counts):
            np.fill_diagonal(pairs, 0)
        self.until: Numbers = np.zeros((rounds, seats, seats), dtype=np.int64)
        self.places = np.arange(len(sizes))
        self._count()

    def _count(self) -> None:
        self.same = self.group[:, :, None] == self.group[:, None, :]
        self.together: Numbers = (self.same & self.counts).sum(axis=0)

    def repeats(self) -> int:
        """Pairs of rounds in which two players are together, over all pairs of players."""
        return int((self.together * (self.together - 1)).sum()) // 4

    def exchange(self, step: int, fewest: int) -> None:
        """Make the exchange that leaves fewest repeats; one lately made only if it beats all so far."""
        change = self._changes()
        key = change * TIES + self.rng.integers(0, TIES, change.shape)
        key[self.same | ((self.until > step) & (self.repeats() + change >= fewest))] = NEVER
        number, one, other = (int(at) for at in np.unravel_index(key.argmin(), key.shape))
        self.group[number, [one, other]] = self.group[number, [other, one]]
        later = step + KEPT + int(self.rng.integers(0, KEPT_MORE))
        self.until[number, [one, other], [other, one]] = later
        self._count()

    def _changes(self) -> Numbers:
        """(rounds, seats, seats) repeats more if two seats change places in a round."""
        elsewhere = self.together - (self.same & self.counts) + self.apart
        company = elsewhere @ (self.group[:, :, None] == self.places).astype(np.int64)
        there: Numbers = np.take_along_axis(company, np.broadcast_to(self.group[:, None, :], elsewhere.shape), axis=2)
        here = np.take_along_axis(company, self.group[:, :, None], axis=2)
        gain: Numbers = there + there.transpose(0, 2, 1) - here - here.transpose(0, 2, 1) - 2 * elsewhere
        return gain

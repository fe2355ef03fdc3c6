"""How varied a player's turns were: how evenly over the spots, and the longest row from the same one."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import groupby

import numpy as np

from courtwright.review import rows as at
from courtwright.review.events import Log


def evenness(counts: Iterable[int]) -> float | None:
    """Entropy by its most: 1 where all are equal, 0 where there is one alone; None where that says nothing.

    Things that never happened belong in ``counts`` as 0. Source: Shannon 1948.
    """
    told = list(counts)
    total = sum(told)
    if total == 0 or len(told) < 2:
        return None
    entropy = -sum(count / total * math.log(count / total) for count in told if count)
    return entropy / math.log(len(told))


def longest_same(places: Sequence[int] | Sequence[str]) -> int:
    """The longest row of equal ones."""
    return max((sum(1 for _ in group) for _, group in groupby(places)), default=0)


def spots_of(log: Log, player: str) -> list[list[str]]:
    """The spots a player attacked from, in order, run by run."""
    mine = log.turns[(log.turns[:, at.PLAYER] == log.players.index(player)) & (log.turns[:, at.DEFENDS] == 0)]
    ends = np.flatnonzero(np.diff(log.run[mine[:, at.ROW]])) + 1
    return [[log.spots[spot] for spot in run.tolist()] for run in np.split(mine[:, at.SPOT], ends) if len(run)]


def longest_same_spot(log: Log, player: str) -> int:
    """The longest row of a player's attacking turns from the same spot within a run."""
    return max((longest_same(spots) for spots in spots_of(log, player)), default=0)

"""Who of a group stands at which figure, so that everyone lives at all of them."""

from __future__ import annotations

import random
from collections.abc import Iterable

import numpy as np

from courtwright.rota.assign import cheapest
from courtwright.rota.balance import Counts

REPEAT = 2048
"""cost of each earlier turn at the same figure: greedy on the sum of squares"""
TWICE_RUNNING = 1024
"""on top, if it was that player's last figure: among even choices, move"""


class Figures:
    """Remembers who has stood where, for one role, and places the next group."""

    def __init__(self, players: int, places: int, rng: random.Random) -> None:
        self._times: Counts = np.zeros((players, places), dtype=np.int64)
        self._last: Counts = np.full(players, -1, dtype=np.int64)
        self._rng = rng

    def place(self, group: Iterable[int]) -> tuple[int, ...]:
        """Give the group in the order of the figures, with as few repeats as can be."""
        members = np.array(sorted(group), dtype=np.int64)
        if not members.size:
            return ()
        figures = np.arange(members.size)
        ties = np.array([[self._rng.getrandbits(6) for _ in figures] for _ in figures])
        again = self._last[members, None] == figures
        chosen = cheapest(self._times[members] * REPEAT + again * TWICE_RUNNING + ties)
        self._times[members, chosen] += 1
        self._last[members] = chosen
        return tuple(int(player) for player in members[np.argsort(chosen)])

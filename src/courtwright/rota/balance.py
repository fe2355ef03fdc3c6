"""Fair shares by counting: how many turns each player is owed in each role, and what no rota can better."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Counts = NDArray[np.int64]


def best_possible_spread(seats: int, players: int) -> int:
    """Least difference between most and fewest when `seats` are shared among `players`: 0 if they divide, else 1."""
    return 0 if seats % players == 0 else 1


def fair_shares(players: int, seats: Sequence[int]) -> Counts:
    """Share out the seats of each role so that every role, and the sum of roles, is even to within one.

    Each role gives everyone ⌊seats / players⌋. What is left over is dealt round the
    ring of players, each role going on where the last one stopped: so no one gets
    two left-over seats before everyone has one.

    Parameters
    ----------
    players
        How many share.
    seats
        Seats in each role over the whole game (places in a turn x turns).

    Returns
    -------
    (players, roles) turns owed. Columns sum to `seats`; within a column, and in the
    row sums, values differ by at most 1.
    """
    shares = np.empty((players, len(seats)), dtype=np.int64)
    start = 0
    for role, count in enumerate(seats):
        each, over = divmod(count, players)
        shares[:, role] = each
        shares[(start + np.arange(over)) % players, role] += 1
        start += over
    return shares

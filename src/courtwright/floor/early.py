"""What leaving on dribble 1 costs, by how well the man who is left shoots: the kernel of the switch curve."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import inner, kernel
from courtwright.floor import body as its
from courtwright.floor.helping import contained_worth
from courtwright.floor.leaving import NOBODY
from courtwright.floor.readout import BEATEN, ROW, TIMINGS, add_row, both_ways, take_way
from courtwright.floor.scene import Scene

FIRST: Final = 0
SECOND: Final = 1


@inner
def add_moments(s: Scene, helper: int, side: float, abeam_m: float, share: float, rows: NDArray[np.float64]) -> None:
    """Add what a helper's leaving brings on one way to the ring, for the moments that are held against each other."""
    take_way(s, side, abeam_m)
    home = contained_worth(s, NOBODY, False)
    for timing in (FIRST, SECOND, BEATEN):
        add_row(s, helper, timing, home, share, rows[timing])


@kernel
def early_costs(
    s: Scene,
    helper: int,
    bodies: NDArray[np.float64],
    assumed: NDArray[np.float64],
    resets: NDArray[np.float64],
    fouled: NDArray[np.float64],
    logits: NDArray[np.float64],
    out: NDArray[np.float64],
) -> None:
    """Leaving on dribble 1 less the better of dribble 2 and when beaten: ``out`` and ``logits`` are (sets, shares).

    A driver chooses his way before anyone helps, so it does not hang on the man who is left: it is laid once.
    """
    man, rows = s.guard[helper], np.zeros((len(TIMINGS), len(ROW)))
    for draw in range(bodies.shape[0]):
        s.body[: s.players], s.assumed[:] = bodies[draw], assumed[draw]
        s.reset, s.fouled = resets[draw], fouled[draw]
        left_m, right_m, left_share, right_share = both_ways(s)
        for share in range(logits.shape[1]):
            s.body[man, its.THREE_LOGIT] = logits[draw, share]
            rows[:] = 0.0
            if left_share > 0.0:
                add_moments(s, helper, -1.0, left_m, left_share, rows)
            if right_share > 0.0:
                add_moments(s, helper, 1.0, right_m, right_share, rows)
            out[draw, share] = rows[FIRST, 0] - min(rows[SECOND, 0], rows[BEATEN, 0])

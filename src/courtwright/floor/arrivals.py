"""First arrivals of many players at many places: the space map's kernel."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from courtwright.engine import kernel
from courtwright.floor.movement import arrival_s


@kernel
def first_arrivals(
    cells: NDArray[np.float64],
    here: NDArray[np.float64],
    velocity: NDArray[np.float64],
    top: NDArray[np.float64],
    tau_s: NDArray[np.float64],
    out: NDArray[np.float64],
) -> None:
    """First arrival of every player at every cell, seconds: ``out`` is (cells, players). Reactions are left out."""
    for cell in range(cells.shape[0]):
        for player in range(here.shape[0]):
            out[cell, player] = arrival_s(
                cells[cell, 0],
                cells[cell, 1],
                here[player, 0],
                here[player, 1],
                velocity[player, 0],
                velocity[player, 1],
                top[player],
                tau_s[player],
            )

"""Space: who is first to each part of the floor, and how the attackers are spread."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull, QhullError

from courtwright.engine import COMPILED, plain
from courtwright.floor.arrivals import attack_shares, first_arrivals
from courtwright.reading.prepare import Array, Setting

CELL_M: Final = 0.25
COARSE_CELL_M: Final = 0.5
"""Of the share's range, for which the map is drawn many times over."""
SHARE_SETS: Final = 32


@dataclass(frozen=True)
class SpaceMap:
    """The half court in cells, row by row from the end line."""

    columns: int
    rows: int
    left_m: float
    end_line_m: float
    owner: NDArray[np.int64]
    """(cells,) who is first there, under the mean parameters of each player"""
    times_s: Array
    """(cells,) and when"""

    def to_json(self, figures: tuple[str, ...]) -> dict[str, Any]:
        """Plain JSON data: the figure that is first to each cell."""
        return {
            "columns": self.columns,
            "rows": self.rows,
            "cell_m": CELL_M,
            "left_m": self.left_m,
            "end_line_m": self.end_line_m,
            "figures": list(figures),
            "owner": self.owner.tolist(),
        }


@lru_cache(maxsize=8)
def _cells(left_m: float, end_line_m: float, columns: int, rows: int, cell_m: float) -> Array:
    """The middles of the cells; kept, for they are the same at every step of a drag."""
    x = left_m + cell_m * (np.arange(columns) + 0.5)
    y = end_line_m + cell_m * (np.arange(rows) + 0.5)
    cells = np.column_stack([np.tile(x, rows), np.repeat(y, columns)])
    cells.flags.writeable = False
    return cells


def _grid(setting: Setting, cell_m: float) -> tuple[int, int, Array]:
    """Columns, rows and cells of the half court."""
    floor = setting.moment.floor
    columns, rows = round(floor.width.value_m / cell_m), round(floor.half_length_m / cell_m)
    return columns, rows, _cells(-floor.side_x_m, floor.end_line_y_m, columns, rows, cell_m)


def space_map(setting: Setting) -> SpaceMap:
    """Who is first where."""
    floor = setting.moment.floor
    columns, rows, cells = _grid(setting, CELL_M)
    scene = setting.scene(compiled=COMPILED)
    scene.body[: scene.players] = setting.bodies.mean(axis=0)
    owner, times_s = np.zeros(len(cells), np.int64), np.zeros(len(cells))
    (first_arrivals if COMPILED else plain(first_arrivals))(scene, cells, owner, times_s)
    return SpaceMap(columns, rows, -floor.side_x_m, floor.end_line_y_m, owner, times_s)


def attack_share(setting: Setting) -> Array:
    """Per set: the share of the half court to which the attack is first."""
    _, _, cells = _grid(setting, COARSE_CELL_M)
    bodies = np.ascontiguousarray(setting.bodies[:SHARE_SETS])
    shares = np.zeros(len(bodies))
    (attack_shares if COMPILED else plain(attack_shares))(setting.scene(compiled=COMPILED), bodies, cells, shares)
    return shares


def spacing(setting: Setting) -> dict[str, Any]:
    """How the attackers are spread: distances between them and the area of their hull."""
    places = {figure: setting.moment.placed_m()[figure] for figure in setting.figures[: setting.attackers]}
    pairs = [
        {"between": [one, other], "distance_m": round(float(np.hypot(*np.subtract(places[one], places[other]))), 2)}
        for one, other in combinations(places, 2)
    ]
    return {"pairs": pairs, "hull_m2": round(_hull_m2(np.array(list(places.values()))), 2)}


def _hull_m2(points: NDArray[np.float64]) -> float:
    if len(points) < 3:
        return 0.0
    try:
        return float(ConvexHull(points).volume)  # in the plane Qhull calls the area a volume
    except QhullError:  # all on one line
        return 0.0

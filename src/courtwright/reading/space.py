"""Space: who is first to each part of the floor, and how the attackers are spread."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull, QhullError

from courtwright.floor import body as its
from courtwright.floor.arrivals import first_arrivals
from courtwright.reading.prepare import Setting

CELL_M: Final = 0.25


@dataclass(frozen=True)
class SpaceMap:
    """The half court in cells, row by row from the end line."""

    columns: int
    rows: int
    left_m: float
    end_line_m: float
    times_s: NDArray[np.float64]
    """(cells, players) first arrival, under the middle parameters of each player"""

    @property
    def owner(self) -> NDArray[np.int64]:
        """Who is first to each cell, (cells,)."""
        first: NDArray[np.int64] = self.times_s.argmin(axis=1)
        return first

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


def space_map(setting: Setting) -> SpaceMap:
    """Who is first where."""
    floor, count = setting.moment.floor, len(setting.figures)
    columns, rows = round(floor.width.value_m / CELL_M), round(floor.half_length_m / CELL_M)
    x = -floor.side_x_m + CELL_M * (np.arange(columns) + 0.5)
    y = floor.end_line_y_m + CELL_M * (np.arange(rows) + 0.5)
    cells = np.array([(across, along) for along in y for across in x])
    scene, bodies = setting.scene(compiled=False), setting.bodies.mean(axis=0)
    times = np.zeros((len(cells), count))
    top, tau_s = bodies[:, its.TOP].copy(), bodies[:, its.TAU].copy()
    first_arrivals(cells, scene.here[:count].copy(), scene.velocity[:count].copy(), top, tau_s, times)
    return SpaceMap(columns, rows, -floor.side_x_m, floor.end_line_y_m, times)


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

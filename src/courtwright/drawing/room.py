"""Where a label has room: the free place nearest to its figure, clear of marks, figures and other labels."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from courtwright.drawing.svg import Point

ENOUGH_M: Final = 0.25
"""More room than this reads no better."""
SAMPLE_M: Final = 0.12


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its centre and its half sides."""

    x_m: float
    y_m: float
    half_width_m: float
    half_height_m: float

    def clearance_m(self, point: Point) -> float:
        """Distance from a point to the rectangle; negative inside it."""
        across_m = abs(point[0] - self.x_m) - self.half_width_m
        down_m = abs(point[1] - self.y_m) - self.half_height_m
        if across_m <= 0 and down_m <= 0:
            return max(across_m, down_m)
        return math.hypot(max(across_m, 0.0), max(down_m, 0.0))


@dataclass(slots=True)
class Room:
    """What is already drawn: discs that must stay clear, and thin lines that are better left clear."""

    left_m: float
    top_m: float
    right_m: float
    bottom_m: float
    discs: list[tuple[Point, float]] = field(default_factory=list)
    thin: list[Point] = field(default_factory=list)

    def disc(self, centre: Point, radius_m: float) -> None:
        """Keep a disc clear."""
        self.discs.append((centre, radius_m))

    def line(self, points: Iterable[Point], half_width_m: float) -> None:
        """Keep a line clear."""
        self.discs += [(point, half_width_m) for point in sampled(points)]

    def box(self, box: Box) -> None:
        """Keep a rectangle clear, as a row of discs."""
        step_m = box.half_height_m
        count = max(1, math.ceil(box.half_width_m / step_m))
        for index in range(count):
            shift_m = (2 * (index + 0.5) / count - 1) * max(box.half_width_m - step_m, 0.0)
            self.disc((box.x_m + shift_m, box.y_m), step_m)

    def score(self, box: Box) -> float:
        """How well a label reads there: the clearance in metres, less a little for each court line under it."""
        clear_m = min((box.clearance_m(centre) - radius_m for centre, radius_m in self.discs), default=ENOUGH_M)
        edge_m = min(
            box.x_m - box.half_width_m - self.left_m,
            self.right_m - box.x_m - box.half_width_m,
            box.y_m - box.half_height_m - self.top_m,
            self.bottom_m - box.y_m - box.half_height_m,
        )
        under = sum(box.clearance_m(point) < 0 for point in self.thin)
        # a label off the page is worse than one that touches a mark
        return min(clear_m, ENOUGH_M, 4 * edge_m) - 0.01 * min(under, 12)

    def best(self, boxes: list[Box]) -> int:
        """The place with most room; of equal places the first."""
        scores = [self.score(box) for box in boxes]
        return max(range(len(boxes)), key=lambda index: (round(scores[index], 6), -index))


def sampled(points: Iterable[Point]) -> list[Point]:
    """Points close together along a line."""
    found: list[Point] = []
    for here, there in pairwise(points):
        count = max(1, math.ceil(math.dist(here, there) / SAMPLE_M))
        found += [
            (here[0] + (there[0] - here[0]) * index / count, here[1] + (there[1] - here[1]) * index / count)
            for index in range(count + 1)
        ]
    return found

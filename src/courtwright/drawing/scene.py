"""What pictures of people on a court have in common: the page, who takes up room, gaps and names."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final
from xml.etree import ElementTree as ET

from courtwright.drawing.court import line_points
from courtwright.drawing.figures import figure_kind, name_label
from courtwright.drawing.marks import DIMENSION_OFFSET_M, dimension_line, dimension_text_at
from courtwright.drawing.room import Box, Room, sampled
from courtwright.drawing.svg import CAP_EM, Point, Theme, label, text_width_m
from courtwright.floor.court import Court

CLEAR_M: Final = 0.12
"""Air between a figure's mark and a line that starts or ends at it."""

Area = tuple[float, float, float, float]
Places = dict[str, Point]


@dataclass(frozen=True, slots=True)
class Scene:
    """Who is where on the drawing, in which inks, and what already takes up room."""

    places: Places
    theme: Theme
    room: Room


def on_page(floor: Court, at_m: Point) -> Point:
    """A place on the floor as a place on the drawing."""
    return at_m[0], at_m[1] - floor.end_line_y_m


def widened(area_m: Area, places: Places, theme: Theme) -> Area:
    """The court's area, wider where somebody stands outside it."""
    left_m, top_m, width_m, height_m = area_m
    reach_m = 1.5 * theme.figure_m
    across_m = [left_m, left_m + width_m, *(x_m + side * reach_m for x_m, _ in places.values() for side in (-1, 1))]
    down_m = [top_m, top_m + height_m, *(y_m + side * reach_m for _, y_m in places.values() for side in (-1, 1))]
    return min(across_m), min(down_m), max(across_m) - min(across_m), max(down_m) - min(down_m)


def room_for(floor: Court, area_m: Area, places: Places, theme: Theme) -> Room:
    """The page with its people, before any words."""
    left_m, top_m, width_m, height_m = area_m
    room = Room(left_m, top_m, left_m + width_m, top_m + height_m)
    room.thin = [point for line in line_points(floor) for point in sampled(line)]
    for name, at in places.items():
        room.disc(at, theme.figure_m * (0.85 if figure_kind(name) == "defender" else 1.05))
    return room


def gap_line(parent: ET.Element, scene: Scene, holder: Point, guard: Point, words: str) -> None:
    """How far a defender stands off, as a dimension line on the side with most room."""
    line, room = [holder, guard], scene.room
    # the side away from the middle comes first, so that a mirrored start gives a mirrored drawing
    out = 1.0 if holder[0] * (guard[1] - holder[1]) <= 0 else -1.0
    ways = [
        (out * side * far * DIMENSION_OFFSET_M, slide_m)
        for far in (1.0, 1.4)
        for side in (1, -1)
        for slide_m in (0.0, -0.35, 0.35)  # towards the holder, towards his guard
    ]
    size_m = 0.92 * scene.theme.label_m
    centres = [dimension_text_at(line, words, offset_m=at_m, slide_m=slide_m, size_m=size_m) for at_m, slide_m in ways]
    boxes = [words_box(centre, words, size_m) for centre in centres]
    best = room.best(boxes)
    offset_m, slide_m = ways[best]
    paper = scene.theme.paper
    parent.append(dimension_line(line, words, paper=paper, offset_m=offset_m, slide_m=slide_m, size_m=size_m))
    room.box(boxes[best])
    room.line(beside(line, offset_m), 0.1)


def defender_names(groups: dict[str, ET.Element], scene: Scene) -> None:
    """A cross has no room for its name: it stands beside it."""
    for name, group in groups.items():
        if figure_kind(name) == "defender":
            name_label(group, scene.room, scene.places[name], name, scene.theme)


def beside(line: list[Point], aside_m: float) -> list[Point]:
    """The line moved to its own right (on the page: turned clockwise from its direction)."""
    (x_m, y_m), (to_x_m, to_y_m) = line[0], line[-1]
    long_m = math.dist(line[0], line[-1]) or 1.0
    right_m, down_m = -(to_y_m - y_m) / long_m * aside_m, (to_x_m - x_m) / long_m * aside_m
    return [(x_m + right_m, y_m + down_m), (to_x_m + right_m, to_y_m + down_m)]


def middle(line: list[Point]) -> Point:
    """Half-way along a straight line."""
    return (line[0][0] + line[-1][0]) / 2, (line[0][1] + line[-1][1]) / 2


def words_box(at: Point, words: str, size_m: float) -> Box:
    """About how much room words take."""
    return Box(*at, text_width_m(words, size_m) / 2, CAP_EM * size_m / 2)


def place_words(parent: ET.Element, scene: Scene, centres: list[Point], words: str, size_m: float, ink: str) -> None:
    """Words at the place with most room, of several."""
    boxes = [words_box(centre, words, size_m) for centre in centres]
    best = scene.room.best(boxes)
    scene.room.box(boxes[best])
    label(parent, centres[best], words, size_m, class_="label order", fill=ink, stroke=scene.theme.paper)

"""Lines that say what moves: the notation of the federation's coaches manual.

A plain line with an arrow is a run, a dashed one a pass, a zigzag a dribble; a
line that ends in a bar is a screen. Lines follow any polyline in metres on the
drawing, so the same marks serve starts, frozen moments and replays.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final
from xml.etree import ElementTree as ET

from courtwright.drawing.svg import Point, element, label, path, text_width_m

Polyline = Sequence[Point]

STROKE_M: Final = 0.07
HEAD_LENGTH_M: Final = 0.34
HEAD_SLIM: Final = 0.76
"""width of an arrow head over its length"""
DASH_M: Final = (0.26, 0.17)
ZIGZAG_WAVE_M: Final = 0.52
ZIGZAG_REACH_M: Final = 0.14
BAR_M: Final = 0.62
DIMENSION_STROKE_M: Final = 0.035
DIMENSION_TEXT_M: Final = 0.42
DIMENSION_OFFSET_M: Final = 0.72
DIMENSION_HEAD_M: Final = 0.24


def length_m(line: Polyline) -> float:
    """Length along a polyline."""
    return math.fsum(math.dist(here, there) for here, there in pairwise(line))


def along(line: Polyline, at_m: float) -> tuple[Point, Point]:
    """The point ``at_m`` along the line, and the direction there as a unit vector."""
    walked_m, direction = 0.0, (1.0, 0.0)
    last = line[-1]
    for here, there in pairwise(line):
        step_m = math.dist(here, there)
        if step_m == 0:
            continue
        direction = ((there[0] - here[0]) / step_m, (there[1] - here[1]) / step_m)
        if at_m <= walked_m + step_m:
            last = _stepped(here, direction, at_m - walked_m)
            break
        walked_m += step_m
    return last, direction


def trimmed(line: Polyline, *, start_m: float = 0.0, end_m: float = 0.0) -> list[Point]:
    """The line without its first and last stretch, so that it does not run into the figures it joins."""
    whole_m = length_m(line)
    if start_m + end_m >= whole_m:
        start_m = end_m = 0.0
    walked_m, kept = 0.0, [along(line, start_m)[0]]
    for here, there in pairwise(line):
        walked_m += math.dist(here, there)
        if start_m < walked_m < whole_m - end_m:
            kept.append(there)
    return [*kept, along(line, whole_m - end_m)[0]]


def run_line(line: Polyline, *, ink: str = "currentColor", start_m: float = 0.0, end_m: float = 0.0) -> ET.Element:
    """Movement without the ball: a plain line with an arrow."""
    group, line = _moved("run", line, ink, start_m, end_m)
    _stroke(group, _headed(group, line))
    return group


def pass_line(line: Polyline, *, ink: str = "currentColor", start_m: float = 0.0, end_m: float = 0.0) -> ET.Element:
    """A pass: a dashed line with an arrow."""
    group, line = _moved("pass", line, ink, start_m, end_m)
    _stroke(group, _headed(group, line), stroke_dasharray=" ".join(str(dash) for dash in DASH_M))
    return group


def dribble_line(line: Polyline, *, ink: str = "currentColor", start_m: float = 0.0, end_m: float = 0.0) -> ET.Element:
    """A dribble: a zigzag with an arrow."""
    group, line = _moved("dribble", line, ink, start_m, end_m)
    _stroke(group, zigzag(_headed(group, line)), stroke_linejoin="round")
    return group


def screen_line(line: Polyline, *, ink: str = "currentColor", start_m: float = 0.0, end_m: float = 0.0) -> ET.Element:
    """A screen: a line that ends in a bar square to it."""
    group, line = _moved("screen", line, ink, start_m, end_m)
    _stroke(group, line)
    end, (right, down) = along(line, length_m(line))
    half_m = BAR_M / 2
    _stroke(group, [_stepped(end, (-down, right), half_m), _stepped(end, (down, -right), half_m)], class_="bar")
    return group


def zigzag(line: Polyline) -> list[Point]:
    """The line as a zigzag: equal waves along the path, straight for half a wave at both ends."""
    whole_m = length_m(line)
    halves = round((whole_m - ZIGZAG_WAVE_M) / (ZIGZAG_WAVE_M / 2))
    if halves < 2:
        return list(line)
    half_m = (whole_m - ZIGZAG_WAVE_M) / halves
    points = [line[0], along(line, ZIGZAG_WAVE_M / 2)[0]]
    for index in range(halves):
        middle, (right, down) = along(line, ZIGZAG_WAVE_M / 2 + (index + 0.5) * half_m)
        points.append(_stepped(middle, (-down, right), ZIGZAG_REACH_M if index % 2 else -ZIGZAG_REACH_M))
    return [*points, along(line, whole_m - ZIGZAG_WAVE_M / 2)[0], line[-1]]


def dimension_line(
    line: Polyline,
    words: str,
    *,
    ink: str = "currentColor",
    paper: str = "none",
    offset_m: float = DIMENSION_OFFSET_M,
    slide_m: float = 0.0,
    size_m: float = DIMENSION_TEXT_M,
) -> ET.Element:
    """A measured distance as a draughtsman marks it, beside the line it measures.

    It lies right of the line's direction (left if ``offset_m`` is negative); the
    words stand at its middle, or ``slide_m`` further along.
    """
    here, there = line[0], line[-1]
    right, down = along(line, 0.0)[1]
    square = (-down, right) if offset_m >= 0 else (down, -right)
    reach_m = abs(offset_m)
    group = element("g", class_="dimension", fill="none", stroke=ink, stroke_width=DIMENSION_STROKE_M)
    ends = [_stepped(end, square, reach_m) for end in (here, there)]
    for end in (here, there):  # extension lines start clear of the figure, and run a little past
        extension = [_stepped(end, square, reach_m * 0.62), _stepped(end, square, reach_m + 0.1)]
        _stroke(group, extension, class_="extension")
    _stroke(group, ends)
    head_m = min(DIMENSION_HEAD_M, math.dist(*ends) / 3)
    for end, inwards in zip(ends, (1.0, -1.0), strict=True):
        base = _stepped(end, (right, down), inwards * head_m)
        wings = [_stepped(base, square, side * head_m * 0.22) for side in (-1.0, 1.0)]
        path(group, "M", *end, "L", *wings[0], "L", *wings[1], "Z", class_="head", fill=ink, stroke="none")
    at = dimension_text_at(line, words, offset_m=offset_m, slide_m=slide_m, size_m=size_m)
    label(group, at, words, size_m, away=square[0], fill=ink, stroke=paper)
    return group


def dimension_text_at(
    line: Polyline,
    words: str,
    *,
    offset_m: float = DIMENSION_OFFSET_M,
    slide_m: float = 0.0,
    size_m: float = DIMENSION_TEXT_M,
) -> Point:
    """Where the words of a dimension line are centred: just beyond it, however it lies."""
    here, there = line[0], line[-1]
    right, down = along(line, 0.0)[1]
    square = (-down, right) if offset_m >= 0 else (down, -right)
    middle = ((here[0] + there[0]) / 2, (here[1] + there[1]) / 2)
    clear_m = abs(square[0]) * text_width_m(words, size_m) / 2 + abs(square[1]) * size_m / 2 + 0.14
    return _stepped(_stepped(middle, (right, down), slide_m), square, abs(offset_m) + clear_m)


def _moved(kind: str, line: Polyline, ink: str, start_m: float, end_m: float) -> tuple[ET.Element, list[Point]]:
    group = element("g", class_=kind, fill="none", stroke=ink, stroke_width=STROKE_M)
    return group, trimmed(line, start_m=start_m, end_m=end_m)


def _headed(group: ET.Element, line: Polyline) -> list[Point]:
    """Put an arrow head on the end of the line, and give back the line up to the head's base."""
    whole_m = length_m(line)
    head_m = min(HEAD_LENGTH_M, whole_m)
    tip = line[-1]
    base, _ = along(line, whole_m - head_m)
    spread = math.dist(base, tip) or 1.0
    right, down = (tip[0] - base[0]) / spread, (tip[1] - base[1]) / spread
    wings = [_stepped(base, side, head_m * HEAD_SLIM / 2) for side in ((-down, right), (down, -right))]
    corners = [part for wing in wings for part in ("L", *wing)]
    path(group, "M", *tip, *corners, "Z", class_="head", fill=group.get("stroke"), stroke="none")
    return trimmed(line, end_m=head_m * 0.9)


def _stroke(group: ET.Element, line: Polyline, **attributes: str | float | None) -> None:
    (x_m, y_m), *rest = line
    path(group, "M", x_m, y_m, *(part for point in rest for part in ("L", *point)), **attributes)


def _stepped(here: Point, direction: Point, step_m: float) -> Point:
    return here[0] + direction[0] * step_m, here[1] + direction[1] * step_m

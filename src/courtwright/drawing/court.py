"""A half court to scale, from the measures of any rule book.

Rule books measure lanes and arcs to the outer edge of the line, the playing
court to the inner edge. Strokes are therefore shifted by half their width, so
that the named edge stands at the named place whatever the stroke.
"""

from __future__ import annotations

import math
from typing import Final
from xml.etree import ElementTree as ET

from courtwright.drawing.svg import THEMES, Point, Svg, Theme, ThemeName, element, path, picture, written
from courtwright.floor.court import Court, Rules

MARGIN_M: Final = 0.5
NARROW_PX: Final = 360
"""The narrowest screen on which a line must still be a full pixel wide."""


def draw_court(court: Court, *, theme: ThemeName = "screen") -> Svg:
    """The empty half court of a rule book, basket at the top."""
    words = f"{court.name} half court, basket at the top, {court.width.value_m:.2f} m wide."
    root = picture(
        title=f"{court.name} half court",
        description=words,
        box_m=court_box_m(court),
        theme=THEMES[theme],
        key=f"court-{court.rules.value.replace(' ', '-')}",
    )
    root.append(court_lines(court, THEMES[theme]))
    return written(root)


def court_box_m(court: Court) -> tuple[float, float, float, float]:
    """Left, top, width and height of the picture: the half court and a margin."""
    across_m = court.width.value_m + 2 * MARGIN_M
    return -across_m / 2, -MARGIN_M, across_m, court.half_length_m + 2 * MARGIN_M


def line_m(court: Court) -> float:
    """Width of a line: true to scale, but never under a pixel on a narrow screen."""
    return max(court.line_width.value_m, court_box_m(court)[2] / NARROW_PX)


def line_points(court: Court) -> list[list[Point]]:
    """The painted lines as polylines, for labels that would rather not lie on them."""
    side_m, lane_m, far_m = court.side_x_m, court.lane_width.value_m / 2, court.half_length_m
    throw_m, basket_m = court.free_throw_from_end_line.value_m, court.basket_from_end_line.value_m
    board_m, half_board_m = court.board_from_end_line.value_m, court.board_width.value_m / 2
    lines = [
        [(-side_m, far_m), (-side_m, 0.0), (side_m, 0.0), (side_m, far_m), (-side_m, far_m)],
        [(-lane_m, 0.0), (-lane_m, throw_m), (lane_m, throw_m), (lane_m, 0.0)],
        [(-half_board_m, board_m), (half_board_m, board_m)],
        _bow((0.0, throw_m), court.circle_radius.value_m, 0.0),
    ]
    if court.arc_radius is not None and court.arc_lateral is not None:
        above = math.asin(court.arc_join_y_m / court.arc_radius.value_m)
        bow = _bow((0.0, basket_m), court.arc_radius.value_m, above)
        lines.append([(court.arc_lateral.value_m, 0.0), *bow, (-court.arc_lateral.value_m, 0.0)])
    if court.no_charge_radius is not None:
        lines.append(_bow((0.0, basket_m), court.no_charge_radius.value_m, 0.0))
    return lines


def _bow(centre: Point, radius_m: float, above: float) -> list[Point]:
    """Points of an arc that opens towards the end line, from ``above`` the lateral on one side to the other."""
    turns = [above + (math.pi - 2 * above) * step / 24 for step in range(25)]
    return [(centre[0] + radius_m * math.cos(turn), centre[1] + radius_m * math.sin(turn)) for turn in turns]


def court_lines(court: Court, theme: Theme) -> ET.Element:
    """Every line of the half court, as one group."""
    group = element("g", class_="court", fill="none", stroke=theme.line, stroke_width=line_m(court))
    _boundary(group, court, theme)
    _lane(group, court)
    if court.arc_radius is not None:
        _arc(group, court)
    if court.no_charge_radius is not None:
        _no_charge(group, court, court.no_charge_radius.value_m)
    _basket(group, court)
    return group


def _boundary(group: ET.Element, court: Court, theme: Theme) -> None:
    half_m, side_m, far_m = line_m(court) / 2, court.side_x_m, court.half_length_m
    # a 3x3 court ends here, so its far line lies outside like the end line; a centre line is shared by both halves
    far_line_m = far_m + half_m if court.rules is Rules.FIBA_3X3 else far_m
    element(
        "rect", group, class_="floor", x=-side_m, y=0.0, width=2 * side_m, height=far_m, fill=theme.paper, stroke="none"
    )
    out_m = side_m + half_m
    path(group, "M", -out_m, far_line_m, "V", -half_m, "H", out_m, "V", far_line_m, class_="line boundary")
    reach_m = out_m + half_m
    path(group, "M", -reach_m, far_line_m, "H", reach_m, class_="line far")
    if court.rules is not Rules.FIBA_3X3:
        round_m = court.circle_radius.value_m - half_m
        path(group, "M", -round_m, far_m, "A", round_m, round_m, "0 0 1", round_m, far_m, class_="line centre-circle")


def _lane(group: ET.Element, court: Court) -> None:
    half_m = line_m(court) / 2
    lane_m, throw_m = court.lane_width.value_m / 2 - half_m, court.free_throw_from_end_line.value_m
    line_y_m = throw_m - half_m
    path(group, "M", -lane_m, 0.0, "V", line_y_m, "H", lane_m, "V", 0.0, class_="line lane")
    round_m = court.circle_radius.value_m - half_m
    bow = ("A", round_m, round_m, "0 0 0", round_m, line_y_m)
    path(group, "M", -round_m, line_y_m, *bow, class_="line free-throw-circle")


def _arc(group: ET.Element, court: Court) -> None:
    """Straight parts and arc, stroked along the middle of the line so that its outer edge is true."""
    assert court.arc_radius is not None
    assert court.arc_lateral is not None
    half_m = line_m(court) / 2
    radius_m, lateral_m = court.arc_radius.value_m - half_m, court.arc_lateral.value_m - half_m
    join_m = court.basket_from_end_line.value_m + math.sqrt(radius_m * radius_m - lateral_m * lateral_m)
    bow = ("A", radius_m, radius_m, "0 0 0", lateral_m, join_m)
    path(group, "M", -lateral_m, 0.0, "V", join_m, *bow, "V", 0.0, class_="line arc")


def _no_charge(group: ET.Element, court: Court, radius_m: float) -> None:
    half_m = line_m(court) / 2
    stroked_m = radius_m - half_m if court.no_charge_to_outer_edge else radius_m + half_m
    basket_m, board_m = court.basket_from_end_line.value_m, court.board_from_end_line.value_m
    bow = ("A", stroked_m, stroked_m, "0 0 0", stroked_m, basket_m)
    path(group, "M", -stroked_m, board_m, "V", basket_m, *bow, "V", board_m, class_="line no-charge")


def _basket(group: ET.Element, court: Court) -> None:
    """Board with its face in place, ring with its inside diameter, and the neck between them."""
    thick_m = 1.6 * line_m(court)
    board_m, basket_m = court.board_from_end_line.value_m, court.basket_from_end_line.value_m
    half_board_m, ring_m = court.board_width.value_m / 2, court.ring_diameter.value_m / 2 + line_m(court) / 2
    iron = element("g", group, class_="basket", stroke="currentColor")
    face_m = board_m - thick_m / 2
    path(iron, "M", -half_board_m, face_m, "H", half_board_m, class_="line board", stroke_width=thick_m)
    path(iron, "M", 0.0, board_m, "V", basket_m - ring_m, class_="line neck")
    element("circle", iron, class_="line ring", cx=0.0, cy=basket_m, r=ring_m)

"""The courts against the rule books they are named after.

Every figure here is written down on its own, in the rule book's own units, and
not read from the product's table. No federation file could be read whole: unless
a line says otherwise the figure is *secondary* (the named rule book, seen through
another text). *From memory* means that it was not checked against any text.

Rule books: FIBA Official Basketball Rules 2026; FIBA 3x3 Official Rules; NBA
Official Rules, rule 1; WNBA Official Rules, rule 1; NCAA court diagram of
June 2019, men and women; NFHS Basketball Rules, rule 1; FIBA Mini-Basketball
Rules 2005; FIBA Basketball Equipment.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import pytest
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from courtwright.floor.court import Court, Rules, court
from courtwright.vocabulary import Evidence, format_length, parse_length_m

FT: Final = 0.3048
IN: Final = 0.0254
MM: Final = 0.001


@dataclass(frozen=True)
class Book:
    """What one rule book says about the arc, in metres."""

    rules: Rules
    radius_m: float
    """to the outer edge"""
    lateral_m: float
    """of the straight part from the middle, outer edge"""
    basket_m: float
    """ring centre from the end line"""
    join_m: float
    """from the end line; computed from the three above with another program, to the millimetre"""
    area_m2: float | None
    """inside the arc, computed likewise"""

    @property
    def floor(self) -> Court:
        return court(self.rules)


BOOKS: Final = (
    # FIBA 2026: 6.75 m; 0.90 m from the side line of a 15 m court; the diagram prints the join at 2.99 m
    Book(Rules.FIBA, 6.75, 7.5 - 0.90, 1.575, 2.990, 92.08),
    # FIBA 3x3: the same arc (ring from memory)
    Book(Rules.FIBA_3X3, 6.75, 7.5 - 0.90, 1.575, 2.990, 92.08),
    # NBA: 23 ft 9 in; 3 ft from the side line of a 50 ft court. Many drawings print the join at 14 ft: it is 14 ft 2.4
    Book(Rules.NBA, 23 * FT + 9 * IN, 25 * FT - 3 * FT, 5 * FT + 3 * IN, 4.328, 101.82),
    # WNBA: 22 ft 1.75 in; 3 ft from the side line
    Book(Rules.WNBA, 22 * FT + 1.75 * IN, 25 * FT - 3 * FT, 5 * FT + 3 * IN, 2.374, None),
    # NCAA: 22 ft 1 3/4 in; 40 1/8 in from the side line
    Book(Rules.NCAA, 22 * FT + 1.75 * IN, 25 * FT - 40.125 * IN, 63 * IN, 3.012, 92.41),
    # NFHS: 19 ft 9 in; straight for 63 in, level with the ring's centre
    Book(Rules.NFHS, 19 * FT + 9 * IN, 19 * FT + 9 * IN, 63 * IN, 1.600, 76.19),
)
BY_NAME = pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.rules.value)


@BY_NAME
def test_straight_part_and_arc_join_to_the_millimetre(book: Book) -> None:
    assert book.floor.arc_join_from_end_line_m == pytest.approx(book.join_m, abs=MM)
    # the join is the place that lies on the straight line and on the circle at once
    assert math.hypot(book.lateral_m, book.floor.arc_join_y_m) == pytest.approx(book.radius_m, abs=MM)


def test_printed_joins() -> None:
    # FIBA 2026, diagram of the playing court: 2.99 m
    assert round(court(Rules.FIBA).arc_join_from_end_line_m, 2) == 2.99
    # NCAA diagram: 9 ft 10 3/8 in; rounded legs of the drawing explain the 5 mm that remain
    assert court(Rules.NCAA).arc_join_from_end_line_m == pytest.approx(9 * FT + 10.375 * IN, abs=6 * MM)


@pytest.mark.parametrize(
    ("rules", "degrees"),
    [(Rules.FIBA, 12.10), (Rules.NBA, 22.13), (Rules.WNBA, 6.58), (Rules.NCAA, 12.07), (Rules.NFHS, 0.0)],
)
def test_angle_of_the_join_above_the_lateral(rules: Rules, degrees: float) -> None:
    floor = court(rules)
    assert floor.arc_lateral is not None

    assert math.degrees(math.atan2(floor.arc_join_y_m, floor.arc_lateral.value_m)) == pytest.approx(degrees, abs=0.01)


@pytest.mark.parametrize(
    ("rules", "top_m"),
    [
        # FIBA's throw-in line stands 8.325 m from the end line (from memory): level with the top of the arc
        (Rules.FIBA, 8.325),
        (Rules.NBA, 8.839),
        (Rules.WNBA, 8.350),
        (Rules.NCAA, 8.350),
        (Rules.NFHS, 7.620),
    ],
)
def test_top_of_the_arc_from_the_end_line(rules: Rules, top_m: float) -> None:
    floor = court(rules)
    assert floor.arc_radius is not None

    assert floor.basket_from_end_line.value_m + floor.arc_radius.value_m == pytest.approx(top_m, abs=MM)


# --- areas


def inside_arc(book: Book) -> Polygon:
    """The floor inside the arc as a polygon: a box under the joins and the cap of a disc above them."""
    disc = Point(0.0, 0.0).buffer(book.radius_m, quad_segs=4096)
    join_y_m = book.join_m - book.basket_m
    under = box(-book.lateral_m, -book.basket_m, book.lateral_m, join_y_m)
    cap = disc.intersection(box(-book.lateral_m, join_y_m, book.lateral_m, book.radius_m))
    union = unary_union([under, cap])
    assert isinstance(union, Polygon)
    return union


@BY_NAME
def test_area_inside_the_arc(book: Book) -> None:
    # closed form: 2c(b + h) + R²(π/2 − θ) − ch, with θ the angle of the join above the lateral
    height_m = math.sqrt(max(book.radius_m**2 - book.lateral_m**2, 0.0))
    theta = math.atan2(height_m, book.lateral_m)
    closed_m2 = 2 * book.lateral_m * (book.basket_m + height_m)
    closed_m2 += book.radius_m**2 * (math.pi / 2 - theta) - book.lateral_m * height_m

    assert book.floor.inside_area_m2 == pytest.approx(closed_m2, rel=1e-9)
    assert book.floor.inside_area_m2 == pytest.approx(inside_arc(book).area, abs=0.01)
    if book.area_m2 is not None:
        assert book.floor.inside_area_m2 == pytest.approx(book.area_m2, abs=0.005)


@BY_NAME
def test_every_place_is_on_the_side_of_the_arc_that_the_polygon_says(book: Book) -> None:
    inside = inside_arc(book)
    floor = book.floor
    for column in range(-30, 31):
        for row in range(-6, 45):
            x_m, y_m = column * 0.243, row * 0.211
            if floor.on_floor(x_m, y_m) and inside.exterior.distance(Point(x_m, y_m)) > 2 * MM:
                assert floor.beyond_arc(x_m, y_m) != inside.contains(Point(x_m, y_m)), (x_m, y_m)


# --- what a basket is worth


@BY_NAME
def test_a_foot_on_the_line_counts_as_inside(book: Book) -> None:
    # FIBA 2026, court: the lines are not part of the three-point area; the measured edge is the outer one
    floor, line_m = book.floor, book.floor.line_width.value_m
    for turn in (0.6, 1.0, math.pi / 2, 2.2):
        on_line, over = book.radius_m - line_m / 2, book.radius_m + MM
        assert floor.value_at(on_line * math.cos(turn), on_line * math.sin(turn)) == floor.inside_value
        assert floor.value_at(over * math.cos(turn), over * math.sin(turn)) == floor.outside_value
    for side in (-1, 1):
        assert floor.value_at(side * (book.lateral_m - line_m / 2), -0.5) == floor.inside_value
        assert floor.value_at(side * (book.lateral_m + MM), -0.5) == floor.outside_value


def test_nba_corner_is_22_feet_not_23_feet_9_inches() -> None:
    nba = court(Rules.NBA)

    assert nba.beyond_arc(22 * FT + 1 * IN, 0.0)
    assert not nba.beyond_arc(22 * FT - 1 * IN, 0.0)
    assert math.hypot(22 * FT + 1 * IN, 0.0) < 23 * FT + 9 * IN


def test_worth_of_baskets() -> None:
    assert (court(Rules.FIBA_3X3).inside_value, court(Rules.FIBA_3X3).outside_value) == (1, 2)
    for rules in (Rules.FIBA, Rules.NBA, Rules.WNBA, Rules.NCAA, Rules.NFHS):
        assert (court(rules).inside_value, court(rules).outside_value) == (2, 3)
    # FIBA Mini-Basketball Rules 2005: no three-point line
    mini = court(Rules.MINI)
    assert mini.arc_radius is None
    assert {mini.value_at(x_m, 8.0) for x_m in (-6.9, 0.0, 6.9)} == {2}


# --- the other lines


def test_3x3_leaves_2_675_m_behind_the_arc() -> None:
    # FIBA 3x3: 15 m wide, 11 m long
    floor = court(Rules.FIBA_3X3)

    assert (floor.width.value_m, floor.half_length_m) == (15.0, 11.0)
    assert floor.half_length_m - (1.575 + 6.75) == pytest.approx(2.675, abs=MM)
    assert floor.far_y_m - 6.75 == pytest.approx(2.675, abs=MM)


@pytest.mark.parametrize(
    ("rules", "length_m", "width_m"),
    [
        (Rules.FIBA, 28.0, 15.0),
        (Rules.NBA, 94 * FT, 50 * FT),
        (Rules.WNBA, 94 * FT, 50 * FT),  # from memory
        (Rules.NCAA, 94 * FT, 50 * FT),
        (Rules.NFHS, 84 * FT, 50 * FT),  # the ideal court; 94 by 50 is the largest
        (Rules.MINI, 26.0, 14.0),  # one of the sizes in proportion that the book names
    ],
)
def test_size_of_the_playing_court(rules: Rules, length_m: float, width_m: float) -> None:
    floor = court(rules)

    assert floor.length.value_m == pytest.approx(length_m, abs=MM)
    assert floor.width.value_m == pytest.approx(width_m, abs=MM)
    assert floor.half_length_m == pytest.approx(length_m / 2, abs=MM)


@pytest.mark.parametrize(
    ("rules", "from_board_m", "to_ring_m"),
    [
        (Rules.FIBA, 5.80 - 1.20, 4.225),
        (Rules.FIBA_3X3, 5.80 - 1.20, 4.225),  # board from memory
        (Rules.NBA, 15 * FT, 13 * FT + 9 * IN),
        (Rules.WNBA, 15 * FT, 13 * FT + 9 * IN),
        (Rules.NCAA, 15 * FT, 13 * FT + 9 * IN),
        (Rules.NFHS, 15 * FT, 13 * FT + 9 * IN),
        (Rules.MINI, 4.00, 3.625),  # ring and board from memory
    ],
)
def test_free_throw_line(rules: Rules, from_board_m: float, to_ring_m: float) -> None:
    """Far edge of the line, from the board's face and from the ring's centre."""
    floor = court(rules)
    board_m = floor.board_from_end_line.value_m

    assert floor.free_throw_from_end_line.value_m - board_m == pytest.approx(from_board_m, abs=MM)
    assert floor.free_throw_y_m == pytest.approx(to_ring_m, abs=MM)


@pytest.mark.parametrize(
    ("rules", "lane_m", "circle_m"),
    [
        (Rules.FIBA, 4.90, 1.80),
        (Rules.FIBA_3X3, 4.90, 1.80),
        (Rules.NBA, 16 * FT, 6 * FT),
        (Rules.WNBA, 16 * FT, 6 * FT),
        (Rules.NCAA, 12 * FT, 6 * FT),
        (Rules.NFHS, 12 * FT, 6 * FT),
    ],
)
def test_lane_and_circles(rules: Rules, lane_m: float, circle_m: float) -> None:
    floor = court(rules)

    assert floor.lane_width.value_m == pytest.approx(lane_m, abs=MM)
    assert floor.circle_radius.value_m == pytest.approx(circle_m, abs=MM)
    assert floor.in_lane(lane_m / 2 - MM, 0.0)
    assert not floor.in_lane(lane_m / 2 + MM, 0.0)


def test_no_charge_semicircle() -> None:
    fiba = court(Rules.FIBA)
    assert fiba.no_charge_radius is not None
    # FIBA 2026: 1.30 m to the outer edge; editions before: 1.25 m to the inner edge of the same 5 cm line
    assert fiba.no_charge_to_outer_edge
    assert fiba.no_charge_radius.value_m - fiba.line_width.value_m == pytest.approx(1.25, abs=MM)
    # and two legs of 0.375 m to the plane of the board
    assert fiba.basket_from_end_line.value_m - fiba.board_from_end_line.value_m == pytest.approx(0.375, abs=MM)
    # NCAA: 4 ft to the inner edge; NFHS: none; mini: none (from memory)
    ncaa = court(Rules.NCAA)
    assert ncaa.no_charge_radius is not None
    assert ncaa.no_charge_radius.value_m == pytest.approx(4 * FT, abs=MM)
    assert not ncaa.no_charge_to_outer_edge
    assert court(Rules.NFHS).no_charge_radius is None
    assert court(Rules.MINI).no_charge_radius is None


def test_ring_and_board_of_fiba_equipment() -> None:
    fiba = court(Rules.FIBA)
    ring_m = fiba.ring_diameter.value_m
    # inside 450 to 459 mm, 151 mm from the board, 3.05 m high (6 mm either way); board 1.80 m wide
    assert 0.450 <= ring_m <= 0.459
    assert fiba.basket_from_end_line.value_m == pytest.approx(1.20 + 0.151 + 0.225, abs=2 * MM)
    assert fiba.ring_height.value_m == pytest.approx(3.05, abs=6 * MM)
    assert fiba.board_width.value_m == pytest.approx(1.80, abs=MM)
    # two size-7 balls (750 mm round at least) do not pass side by side
    assert ring_m < 2 * 0.750 / math.pi


def test_rings_of_the_american_books_and_of_mini() -> None:
    for rules in (Rules.NBA, Rules.WNBA, Rules.NCAA, Rules.NFHS):
        floor = court(rules)
        assert floor.ring_height.value_m == pytest.approx(10 * FT, abs=MM)
        assert floor.ring_diameter.value_m == pytest.approx(18 * IN, abs=MM)
        assert floor.basket_from_end_line.value_m == pytest.approx(63 * IN, abs=MM)
    # FIBA Mini-Basketball Rules 2005: 2.60 m under eleven
    assert court(Rules.MINI).ring_height.value_m == pytest.approx(2.60, abs=MM)


def test_nfhs_straight_part_is_tangent_to_the_arc() -> None:
    # 63 in from the side line, and straight up to the ring's centre
    nfhs = court(Rules.NFHS)
    assert nfhs.arc_lateral is not None

    assert nfhs.side_x_m - nfhs.arc_lateral.value_m == pytest.approx(63 * IN, abs=MM)
    assert nfhs.arc_join_y_m == pytest.approx(0.0, abs=MM)


@pytest.mark.parametrize("rules", Rules, ids=str)
def test_every_measure_says_where_it_stands(rules: Rules) -> None:
    # no federation file was read whole, so none may claim to have been
    for name, measure in court(rules).measures().items():
        assert measure.edition, name
        assert measure.evidence in (Evidence.SECONDARY, Evidence.MEMORY, Evidence.FITTED), name


# --- feet


@pytest.mark.parametrize("half_inches", [0, 1, 23, 24, 126, 532, 570])
def test_feet_and_inches_come_back(half_inches: int) -> None:
    length_m = half_inches * IN / 2

    assert parse_length_m(format_length(length_m, feet=True)) == pytest.approx(length_m, abs=1e-9)


def test_feet_of_the_rule_books_in_metres() -> None:
    # NBA and NCAA figures as their own pages give them in metres
    assert parse_length_m("23 ft 9 in") == pytest.approx(7.239, abs=MM)
    assert parse_length_m("22 ft 1.75 in") == pytest.approx(6.750, abs=MM)
    assert parse_length_m("21 ft 7.875 in") == pytest.approx(6.601, abs=MM)
    assert parse_length_m("19 ft 9 in") == pytest.approx(6.020, abs=MM)
    assert parse_length_m("94 ft") == pytest.approx(28.651, abs=MM)

"""The drawn court has every line of its rule book, at the place the rule book names."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from courtwright.drawing import draw_court
from courtwright.drawing.court import line_m
from courtwright.floor.court import Court, Rules, court

SVG = "{http://www.w3.org/2000/svg}"
ARCED = [rules for rules in Rules if court(rules).arc_radius is not None]


def drawn(rules: Rules) -> ET.Element:
    return ET.fromstring(draw_court(court(rules)))


def lines(root: ET.Element) -> dict[str, ET.Element]:
    """Each line of the court by the second word of its class."""
    classes = ((item, item.get("class", "").split()) for item in root.iter())
    return {names[1]: item for item, names in classes if names[:1] == ["line"]}


def numbers(item: ET.Element) -> list[float]:
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", item.get("d", ""))]


@pytest.mark.parametrize("rules", Rules, ids=str)
def test_every_line_of_the_rule_book_is_there(rules: Rules) -> None:
    floor = court(rules)
    expected = {"boundary", "far", "lane", "free-throw-circle", "board", "neck", "ring"}
    expected |= {"arc"} if floor.arc_radius else set()
    expected |= {"no-charge"} if floor.no_charge_radius else set()
    expected |= set() if rules is Rules.FIBA_3X3 else {"centre-circle"}

    assert lines(drawn(rules)).keys() == expected


@pytest.mark.parametrize("rules", Rules, ids=str)
def test_picture_is_in_metres_with_the_end_line_at_the_top(rules: Rules) -> None:
    floor = court(rules)
    left, top, width, height = map(float, drawn(rules).get("viewBox", "").split())
    floors = [item for item in drawn(rules).iter() if item.get("class") == "floor"]

    assert (left, top) == pytest.approx((-floor.side_x_m - 0.5, -0.5), abs=1e-4)
    assert (width, height) == pytest.approx((floor.width.value_m + 1, floor.half_length_m + 1), abs=1e-4)
    assert len(floors) == 1
    assert float(floors[0].get("height", "")) == pytest.approx(floor.half_length_m, abs=1e-4)


@pytest.mark.parametrize("rules", ARCED, ids=str)
def test_outer_edge_of_the_arc_is_true(rules: Rules) -> None:
    floor = court(rules)
    half_m = line_m(floor) / 2
    assert floor.arc_radius is not None
    assert floor.arc_lateral is not None
    # M -c 0 V join A r r 0 0 0 c join V 0
    left, _, join, radius, _, _, _, _, right, _, _ = numbers(lines(drawn(rules))["arc"])

    assert radius + half_m == pytest.approx(floor.arc_radius.value_m, abs=1e-4)
    assert (-left + half_m, right + half_m) == pytest.approx((floor.arc_lateral.value_m,) * 2, abs=1e-4)
    # the stroke's middle line meets itself: the join lies on the circle around the ring
    assert (right**2 + (join - floor.basket_from_end_line.value_m) ** 2) ** 0.5 == pytest.approx(radius, abs=1e-3)
    # and the edge of the sharp join is the rule book's, but for what the mitre adds
    assert join == pytest.approx(floor.arc_join_from_end_line_m, abs=0.01)


@pytest.mark.parametrize("rules", Rules, ids=str)
def test_lane_reaches_the_free_throw_line(rules: Rules) -> None:
    floor = court(rules)
    half_m = line_m(floor) / 2
    left, _, far, right, _ = numbers(lines(drawn(rules))["lane"])

    assert (half_m - left, right + half_m) == pytest.approx((floor.lane_width.value_m / 2,) * 2, abs=1e-4)
    assert far + half_m == pytest.approx(floor.free_throw_from_end_line.value_m, abs=1e-4)


def test_no_charge_semicircle_by_the_edge_its_rule_book_measures() -> None:
    for rules, side in ((Rules.FIBA, 1), (Rules.NCAA, -1)):
        floor = court(rules)
        assert floor.no_charge_radius is not None
        left, board, basket, radius, *_ = numbers(lines(drawn(rules))["no-charge"])

        assert -left == radius
        assert radius + side * line_m(floor) / 2 == pytest.approx(floor.no_charge_radius.value_m, abs=1e-4)
        assert (board, basket) == pytest.approx(
            (floor.board_from_end_line.value_m, floor.basket_from_end_line.value_m), abs=1e-4
        )


def test_inside_of_the_ring_and_face_of_the_board_are_true() -> None:
    floor = court(Rules.FIBA)
    found = lines(drawn(Rules.FIBA))
    ring, board = found["ring"], found["board"]
    thick = float(board.get("stroke-width", ""))

    assert float(ring.get("r", "")) - line_m(floor) / 2 == pytest.approx(0.45 / 2, abs=1e-4)
    assert float(ring.get("cy", "")) == pytest.approx(1.575, abs=1e-4)
    assert numbers(board)[1] + thick / 2 == pytest.approx(1.20, abs=1e-4)
    assert numbers(board)[2] - numbers(board)[0] == pytest.approx(1.80, abs=1e-4)


def test_a_3x3_court_ends_where_a_half_court_goes_on() -> None:
    half, whole = court(Rules.FIBA), court(Rules.FIBA_3X3)
    far = {floor: numbers(lines(drawn(floor.rules))["far"])[1] for floor in (half, whole)}

    assert far[half] == pytest.approx(14.0, abs=1e-4)
    # the far end line of a 3x3 court lies outside the playing court, like every boundary
    assert far[whole] == pytest.approx(11.0 + line_m(whole) / 2, abs=1e-4)


@pytest.mark.parametrize("rules", Rules, ids=str)
def test_lines_are_true_to_scale_or_a_pixel_on_a_narrow_screen(rules: Rules) -> None:
    floor = court(rules)
    pixel_m = (floor.width.value_m + 1) / 360

    assert line_m(floor) == pytest.approx(max(floor.line_width.value_m, pixel_m))


def test_a_court_says_what_it_is() -> None:
    root = drawn(Rules.FIBA_3X3)
    titles = {item.get("id"): item.text for item in root if item.tag in (f"{SVG}title", f"{SVG}desc")}

    assert root.get("role") == "img"
    assert root.get("aria-labelledby", "").split() == list(titles)
    assert "FIBA 3x3 half court" in titles.values()


def test_theme_changes_ink_and_nothing_else() -> None:
    floor: Court = court(Rules.NBA)
    shapes = [re.sub(r"#[0-9a-f]{6}", "", draw_court(floor, theme=theme)) for theme in ("screen", "print")]

    assert shapes[0] == shapes[1]
    assert draw_court(floor, theme="screen") != draw_court(floor, theme="print")

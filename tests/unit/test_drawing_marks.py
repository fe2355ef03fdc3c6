"""Marks follow any polyline: arrows point where it goes, waves keep their length, bars stand square."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from courtwright.drawing.marks import (
    ZIGZAG_REACH_M,
    ZIGZAG_WAVE_M,
    along,
    dimension_line,
    dimension_text_at,
    dribble_line,
    length_m,
    pass_line,
    run_line,
    screen_line,
    trimmed,
    zigzag,
)

CORNER = [(0.0, 0.0), (3.0, 0.0), (3.0, 4.0)]


def points(item: ET.Element) -> list[tuple[float, float]]:
    found = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", item.get("d", ""))]
    return list(zip(found[::2], found[1::2], strict=True))


def of_class(group: ET.Element, name: str) -> list[ET.Element]:
    return [item for item in group if name in item.get("class", "").split()]


def test_lengths_and_places_along_a_line() -> None:
    assert length_m(CORNER) == 7.0
    assert along(CORNER, 5.0) == ((3.0, 2.0), (0.0, 1.0))
    assert along(CORNER, 99.0) == ((3.0, 4.0), (0.0, 1.0))


def test_trimming_takes_both_ends_and_keeps_the_corner() -> None:
    assert trimmed(CORNER, start_m=1.0, end_m=1.0) == [(1.0, 0.0), (3.0, 0.0), (3.0, 3.0)]
    assert trimmed(CORNER, start_m=4.0, end_m=1.0) == [(3.0, 1.0), (3.0, 3.0)]
    assert trimmed(CORNER, start_m=5.0, end_m=5.0) == CORNER, "a line too short to trim stays whole"


@pytest.mark.parametrize("draw", [run_line, pass_line, dribble_line])
def test_arrow_head_stands_on_the_end_and_points_along_the_last_stretch(draw: type) -> None:
    (head,) = of_class(draw(CORNER, end_m=0.5), "head")
    tip, left, right = points(head)

    assert tip == (3.0, 3.5)
    assert left[1] == right[1] < tip[1], "both wings lie behind the tip, level with each other"
    assert (left[0] + right[0]) / 2 == pytest.approx(3.0)


def test_only_a_pass_is_dashed() -> None:
    dashed = {
        kind: any(item.get("stroke-dasharray") for item in draw(CORNER).iter())
        for kind, draw in (("run", run_line), ("pass", pass_line), ("dribble", dribble_line), ("screen", screen_line))
    }

    assert dashed == {"run": False, "pass": True, "dribble": False, "screen": False}


@pytest.mark.parametrize("draw", [run_line, pass_line, dribble_line, screen_line])
def test_a_mark_carries_its_class_and_ink(draw: type) -> None:
    group = draw(CORNER, ink="#123456")

    assert group.get("class") == draw.__name__.removesuffix("_line")
    assert group.get("stroke") == "#123456"


def test_zigzag_has_waves_of_one_length_along_a_bend() -> None:
    bend = [(5 * math.cos(turn / 40), 5 * math.sin(turn / 40)) for turn in range(41)]
    line = zigzag(bend)
    peaks = line[2:-2]
    sides = [math.copysign(1, math.hypot(*peak) - 5) for peak in peaks]
    steps = [math.atan2(*there[::-1]) - math.atan2(*here[::-1]) for here, there in pairwise(peaks)]

    assert (line[0], line[-1]) == (bend[0], bend[-1])
    assert all(here != there for here, there in pairwise(sides)), "the waves change sides"
    assert all(abs(math.hypot(*peak) - 5) == pytest.approx(ZIGZAG_REACH_M, abs=0.01) for peak in peaks)
    assert max(steps) == pytest.approx(min(steps), rel=0.05)
    assert 5 * steps[0] == pytest.approx(ZIGZAG_WAVE_M / 2, rel=0.1)


def test_a_short_dribble_stays_a_straight_arrow() -> None:
    assert zigzag([(0.0, 0.0), (0.5, 0.0)]) == [(0.0, 0.0), (0.5, 0.0)]


def test_bar_of_a_screen_stands_square_on_the_end() -> None:
    group = screen_line([(0.0, 0.0), (3.0, 4.0)])
    (bar,) = of_class(group, "bar")
    (x1, y1), (x2, y2) = points(bar)

    assert ((x1 + x2) / 2, (y1 + y2) / 2) == pytest.approx((3.0, 4.0), abs=1e-3)
    assert (x2 - x1) * 3 + (y2 - y1) * 4 == pytest.approx(0.0, abs=1e-3)
    assert not of_class(group, "head"), "a screen has no arrow"


def test_dimension_line_is_as_long_as_what_it_measures_and_keeps_its_offset() -> None:
    measured = [(1.0, 1.0), (1.0, 2.4)]
    group = dimension_line(measured, "1.4 m gap", offset_m=0.7)
    (line,) = [item for item in group if item.get("class") is None]
    start, end = points(line)

    assert math.dist(start, end) == pytest.approx(1.4)
    assert {start[0], end[0]} == {0.3}, "beside what it measures, to the right of someone who goes down the page"
    assert len(of_class(group, "extension")) == 2
    assert [item.text for item in of_class(group, "label")] == ["1.4 m gap"]


def test_words_of_a_dimension_line_stand_beyond_it_on_either_side() -> None:
    measured = [(0.0, 0.0), (2.0, 0.0)]

    assert dimension_text_at(measured, "x", offset_m=0.7)[1] > 0.7
    assert dimension_text_at(measured, "x", offset_m=-0.7)[1] < -0.7
    assert dimension_text_at(measured, "x", slide_m=0.5)[0] == pytest.approx(1.5)


def test_a_line_of_no_length_draws_without_error() -> None:
    for draw in (run_line, pass_line, dribble_line, screen_line):
        assert len(draw([(1.0, 1.0), (1.0, 1.0)])) >= 1

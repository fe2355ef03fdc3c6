"""The marks for people: a circle with a number attacks, a cross defends, a square is neutral, a diamond coaches."""

from __future__ import annotations

import math
from typing import Final
from xml.etree import ElementTree as ET

from courtwright.drawing.room import Box, Room
from courtwright.drawing.svg import CAP_EM, Point, Theme, element, label, path, text, text_width_m

BALL_M: Final = 0.15
CROSS_SHARE: Final = 0.72
"""A cross reads as large as a circle at about this share of its width."""


def figure_kind(figure: str) -> str:
    """The class of a figure by its name: attacker, defender, neutral or coach."""
    return {"X": "defender", "N": "neutral", "C": "coach"}.get(figure[0], "attacker")


def figure_group(parent: ET.Element, figure: str, at: Point, theme: Theme) -> ET.Element:
    """A figure as one group at its place, so that a page can move it whole."""
    kind = figure_kind(figure)
    ink = {"attacker": theme.offence, "defender": theme.defence}.get(kind, "currentColor")
    group = element(
        "g",
        parent,
        class_=f"figure {kind}",
        data_figure=figure,
        transform=f"translate({at[0]:.4f} {at[1]:.4f})",
        fill=theme.paper,
        stroke=ink,
        stroke_width=theme.stroke_m,
    )
    _MARKS[kind](group, figure, theme, ink)
    return group


def _attacker(group: ET.Element, figure: str, theme: Theme, ink: str) -> None:
    element("circle", group, class_="mark", cx=0.0, cy=0.0, r=theme.figure_m)
    _number(group, figure, 1.3 * theme.figure_m, ink)


def _defender(group: ET.Element, _figure: str, theme: Theme, _ink: str) -> None:
    arm_m = CROSS_SHARE * theme.figure_m
    path(
        group,
        *("M", -arm_m, -arm_m, "L", arm_m, arm_m, "M", -arm_m, arm_m, "L", arm_m, -arm_m),
        class_="mark",
        stroke_width=1.25 * theme.stroke_m,
    )


def _neutral(group: ET.Element, figure: str, theme: Theme, ink: str) -> None:
    half_m = 0.9 * theme.figure_m
    element("rect", group, class_="mark", x=-half_m, y=-half_m, width=2 * half_m, height=2 * half_m)
    _number(group, figure, theme.figure_m, ink)


def _coach(group: ET.Element, figure: str, theme: Theme, ink: str) -> None:
    tip_m = 1.25 * theme.figure_m
    path(
        group,
        *("M", 0.0, -tip_m, "L", tip_m, 0.0, "L", 0.0, tip_m, "L", -tip_m, 0.0, "Z"),
        class_="mark",
        fill=theme.paper,
    )
    _number(group, figure, 1.1 * theme.figure_m, ink)


_MARKS: Final = {"attacker": _attacker, "defender": _defender, "neutral": _neutral, "coach": _coach}


def _number(group: ET.Element, figure: str, size_m: float, ink: str) -> None:
    text(group, (0.0, 0.0), figure, size_m, class_="number", fill=ink, font_weight="700")


def rings(vary_m: float, theme: Theme) -> bool:
    """Whether a start varies by more than its mark already covers, so that a ring says something."""
    return vary_m > 1.15 * theme.figure_m


def vary_ring(group: ET.Element, vary_m: float) -> None:
    """How far the start may vary: a thin dotted ring (dots, so that it cannot be read as a pass)."""
    dots = {"stroke_dasharray": "0.001 0.13", "stroke_linecap": "round"}
    element("circle", group, class_="vary", cx=0.0, cy=0.0, r=vary_m, fill="none", stroke_width=0.045, **dots)


def ball_dot(group: ET.Element, room: Room, at: Point, theme: Theme) -> None:
    """The ball as a dot on the rim of its holder's mark, on the side with most room."""
    reach_m = theme.figure_m + 0.35 * BALL_M
    places = [(right * reach_m, down * reach_m) for right, down in _around(at[0])[2:]]
    boxes = [Box(at[0] + x_m, at[1] + y_m, 0.0, 0.0) for x_m, y_m in places]
    x_m, y_m = places[room.best(boxes)]
    room.disc((at[0] + x_m, at[1] + y_m), BALL_M)
    element(
        "circle",
        group,
        class_="ball",
        cx=x_m,
        cy=y_m,
        r=BALL_M,
        fill="currentColor",
        stroke=theme.paper,
        stroke_width=0.05,
    )


def name_label(group: ET.Element, room: Room, at: Point, words: str, theme: Theme) -> None:
    """A figure's name beside its mark, on the side with most room."""
    half_width_m, half_height_m = text_width_m(words, theme.label_m) / 2, CAP_EM * theme.label_m / 2
    reach_m = CROSS_SHARE * theme.figure_m + 0.12
    ways = _around(at[0])
    boxes = [
        Box(
            at[0] + right * (reach_m + half_width_m),
            at[1] + down * (reach_m + half_height_m),
            half_width_m,
            half_height_m,
        )
        for right, down in ways
    ]
    best = room.best(boxes)
    room.box(boxes[best])
    centre = (boxes[best].x_m - at[0], boxes[best].y_m - at[1])
    ink = {"fill": theme.defence, "stroke": theme.paper, "font_weight": "700"}
    label(group, centre, words, theme.label_m, away=ways[best][0], **ink)


def _around(x_m: float) -> list[Point]:
    """Eight directions, the outer side first, so that a mirrored start gives a mirrored drawing."""
    out = 1.0 if x_m >= 0 else -1.0
    slant = math.sqrt(0.5)
    return [
        *((out, 0.0), (-out, 0.0)),
        *((out * slant, -slant), (-out * slant, -slant), (out * slant, slant), (-out * slant, slant)),
        *((0.0, 1.0), (0.0, -1.0)),
    ]

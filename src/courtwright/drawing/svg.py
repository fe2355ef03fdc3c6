"""The ground of every picture: an element tree, the inks of each theme, and text that any machine can read.

No picture is glued together from strings, and none carries a style sheet: the
looks are presentation attributes, which any CSS rule of the page outranks. A
page that is dark therefore only has to name the classes (``floor``, ``line``,
``attacker``, ``defender``, ``neutral``, ``coach``, ``ball``, ``run``, ``pass``,
``dribble``, ``screen``, ``dimension``, ``label``) and set ``color`` for the ink.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal
from xml.etree import ElementTree as ET

ThemeName = Literal["screen", "print"]
Point = tuple[float, float]
"""Metres on the drawing: x to the right, y down from the inner edge of the end line."""

FONT_FAMILIES: Final = "system-ui, 'Source Sans 3', sans-serif"
"""System fonts on screen; the typesetter knows no ``system-ui`` and takes the printed font."""
_TEXT_UNITS: Final = 100
"""Text is set in hundredths and scaled down, because browsers round font sizes under one unit."""
LETTER_EM: Final = 0.58
"""Mean width of a letter or digit as a share of the font size; the printed font is narrower, some screens' wider."""
CAP_EM: Final = 0.66
"""Height of a capital, likewise."""


@dataclass(frozen=True, slots=True)
class Theme:
    """Inks and sizes. Meaning is carried by shape and line style; colour only repeats it."""

    ink: str
    line: str
    paper: str
    offence: str
    defence: str
    figure_m: float
    """half the width of a figure"""
    stroke_m: float
    """of figures and moves; court lines have their own true width"""
    label_m: float
    """size of the words beside a mark"""


THEMES: Final[dict[ThemeName, Theme]] = {
    "screen": Theme("#1f2a37", "#7c8694", "#fdfcf9", "#0b5fa5", "#b3471d", figure_m=0.42, stroke_m=0.08, label_m=0.48),
    "print": Theme("#111111", "#767676", "#ffffff", "#0b5fa5", "#b3471d", figure_m=0.48, stroke_m=0.085, label_m=0.54),
}


class Svg(str):
    """A picture as SVG text; notebooks show it."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


def number(value: float) -> str:
    """Write a length to the tenth of a millimetre, without idle zeros."""
    digits = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if digits == "-0" else digits


_UNPRINTABLE = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def printable(text: str) -> str:
    """The text with what no document can hold (control characters, half pairs) shown as U+FFFD."""
    return _UNPRINTABLE.sub("\ufffd", text)


def element(tag: str, parent: ET.Element | None = None, **attributes: str | float | None) -> ET.Element:
    """Make an element; ``class_`` and ``stroke_width`` become ``class`` and ``stroke-width``, ``None`` is left out."""
    written = {
        name.rstrip("_").replace("_", "-"): value if isinstance(value, str) else number(value)
        for name, value in attributes.items()
        if value is not None
    }
    return ET.Element(tag, written) if parent is None else ET.SubElement(parent, tag, written)


def path(parent: ET.Element, *parts: str | float, **attributes: str | float | None) -> ET.Element:
    """A path from commands and numbers: ``path(g, "M", 0, 1, "H", 4)``."""
    data = " ".join(part if isinstance(part, str) else number(part) for part in parts)
    return element("path", parent, d=data, **({"fill": "none"} | attributes))


def text(parent: ET.Element, at: Point, words: str, size_m: float, **attributes: str | float | None) -> ET.Element:
    """Words with their capitals centred on a point."""
    x_m, y_m = at
    lowered_m = y_m + CAP_EM * size_m / 2
    usual: dict[str, str | float | None] = {
        "transform": f"translate({number(x_m)} {number(lowered_m)}) scale({1 / _TEXT_UNITS})",
        "font_family": FONT_FAMILIES,
        "font_size": size_m * _TEXT_UNITS,
        "font_weight": "600",  # the typesetter shows a variable font's lightest cut for the normal weight
        "text_anchor": "middle",
        "fill": "currentColor",
        "stroke": "none",
    }
    made = element("text", parent, **(usual | attributes))
    made.text = printable(words)
    return made


def label(
    parent: ET.Element, at: Point, words: str, size_m: float, *, away: float = 0.0, **attributes: str | float | None
) -> ET.Element:
    """Words in a box centred on a point, with a halo of ``stroke``; ``away`` says to which side they may grow.

    Fonts differ from screen to screen: set from the near edge, a wider one grows away from the mark.
    """
    anchor, side = ("middle", 0.0) if abs(away) < 0.4 else ("start", -0.5) if away > 0 else ("end", 0.5)
    usual: dict[str, str | float | None] = {
        "class_": "label",
        "text_anchor": anchor,
        "paint_order": "stroke",
        "stroke_width": 14.0,
        "stroke_linejoin": "round",
    }
    return text(parent, (at[0] + side * text_width_m(words, size_m), at[1]), words, size_m, **(usual | attributes))


def text_width_m(words: str, size_m: float) -> float:
    """About how wide the words stand."""
    return len(words) * LETTER_EM * size_m


def picture(
    *, title: str, description: str, box_m: tuple[float, float, float, float], theme: Theme, key: str
) -> ET.Element:
    """An empty picture with its text twin; ``key`` keeps its ids apart from those of other pictures on a page."""
    root = element(
        "svg",
        xmlns="http://www.w3.org/2000/svg",
        class_="courtwright-drawing",
        viewBox=" ".join(number(value) for value in box_m),
        role="img",
        aria_labelledby=f"{key}-title {key}-desc",
        color=theme.ink,
        stroke_linecap="butt",
        stroke_linejoin="miter",
    )
    element("title", root, id=f"{key}-title").text = printable(title)
    element("desc", root, id=f"{key}-desc").text = printable(description)
    return root


def written(root: ET.Element) -> Svg:
    """The tree as text."""
    return Svg(ET.tostring(root, encoding="unicode"))

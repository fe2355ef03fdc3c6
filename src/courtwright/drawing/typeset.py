"""The one door to the typesetter: a source, data beside it, and the printed font that ships with the product.

Data never becomes source: it travels as JSON in ``sys.inputs``, so a name with
a hash or a backslash stays a name.
"""

from __future__ import annotations

import math
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final, Literal
from xml.etree import ElementTree as ET

from courtwright.drawing.svg import Svg

if TYPE_CHECKING:
    import typst

MAX_WIDTH_PX: Final = 8000
_PICTURE: Final = b"""#set page(width: auto, height: auto, margin: 0pt, fill: white)
#image(bytes(sys.inputs.svg), format: "svg", width: 1pt * float(sys.inputs.width))
"""


class LettersMissingError(ValueError):
    """The fonts at hand lack letters that an accessible page must show."""


@cache
def fonts(*, system: bool = False) -> typst.Fonts:
    """The printed font, and the system's where a name needs letters that it lacks."""
    import typst  # noqa: PLC0415 (large, and only paper and pictures need it)

    folder = str(files("fontpkg_source_sans_3").joinpath("files"))
    return typst.Fonts(include_system_fonts=system, include_embedded_fonts=True, font_paths=[folder])


def typeset(
    source: bytes,
    inputs: dict[str, str],
    *,
    form: Literal["pdf", "png"],
    ppi: float = 144,
    accessible: bool = False,
    system_fonts: bool = False,
) -> bytes:
    """Typeset a source to one PDF, or one picture. Each call has its own compiler: they cannot be shared by threads."""
    import typst  # noqa: PLC0415

    compiler = typst.Compiler(
        source, font_paths=fonts(system=system_fonts), ignore_system_fonts=not system_fonts, sys_inputs=inputs
    )
    try:
        made = compiler.compile(format=form, ppi=ppi, pdf_standards=["ua-1"] if accessible else [])
    except typst.TypstError as error:
        if "could not be displayed" in error.message:
            raise LettersMissingError(error.message) from error
        raise
    assert isinstance(made, bytes)
    return made


def svg_to_png(svg: Svg | str, width_px: int) -> bytes:
    """A drawing as a PNG of that width."""
    if not 1 <= width_px <= MAX_WIDTH_PX:
        raise ValueError(f"a picture is 1 to {MAX_WIDTH_PX} pixels wide, not {width_px}")
    inputs = {"svg": _whole_pixels(svg, width_px), "width": f"{width_px - 0.005:.3f}"}
    return typeset(_PICTURE, inputs, form="png", ppi=72)


def _whole_pixels(svg: str, width_px: int) -> str:
    """The drawing with its foot grown to a whole row of pixels; else the renderer resamples it, and arcs get kinks."""
    root = ET.fromstring(svg)
    left_m, top_m, width_m, height_m = map(float, root.get("viewBox", "").split())
    rows = math.ceil(height_m * width_px / width_m - 1e-6)
    root.set("viewBox", f"{left_m} {top_m} {width_m} {(rows - 0.01) * width_m / width_px!r}")
    return ET.tostring(root, encoding="unicode")

"""Printed pages: one common ground, a template each, and fonts for whatever a coach wrote."""

from __future__ import annotations

import json
from contextlib import suppress
from importlib.resources import files
from typing import Any

from courtwright.drawing.svg import Svg, printable
from courtwright.drawing.typeset import LettersMissingError, typeset


def page_source(template: str, data: dict[str, Any], svg: Svg) -> tuple[bytes, dict[str, str]]:
    """A page's source, always the same for a template, and its data beside it."""
    folder = files("courtwright.drawing")
    source = b"\n".join(folder.joinpath(name).read_bytes() for name in ("paper.typ", template))
    return source, {"data": json.dumps(_clean(data)), "svg": svg}


def printed(source: bytes, inputs: dict[str, str]) -> bytes:
    """The page as PDF: tagged, with the font inside."""
    # names may need letters that the printed font lacks: then the computer's fonts, then a page that owns up to it
    for system_fonts in (False, True):
        with suppress(LettersMissingError):
            return typeset(source, inputs, form="pdf", accessible=True, system_fonts=system_fonts)
    return typeset(source, inputs | {"unprintable": "yes"}, form="pdf", system_fonts=True)


def _clean(said: Any) -> Any:
    """The same data without what cannot be printed."""
    if isinstance(said, str):
        return printable(said)
    if isinstance(said, dict):
        return {key: _clean(value) for key, value in said.items()}
    if isinstance(said, list | tuple):
        return [_clean(value) for value in said]
    return said

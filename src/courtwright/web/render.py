"""From a template to a page."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from fastapi import Request
from fastapi.templating import Jinja2Templates
from starlette.responses import Response

from courtwright import __version__
from courtwright.web.context import House
from courtwright.web.visitors import NOBODY

TEMPLATES: Final = Jinja2Templates(Path(__file__).parent / "templates")

BARE: Final = {"version": __version__, "club": "", "here": 0, "players": 0}
"""What every page shows of the club, where there is none or it cannot be read."""


def page_of(request: Request, name: str, context: dict[str, Any], status: int = 200) -> Response:
    """One page; what the context leaves out is as in `BARE`."""
    asks = {"visitor": getattr(request.state, "visitor", NOBODY)}
    return TEMPLATES.TemplateResponse(request, f"{name}.html", BARE | asks | {"page": name} | context, status)


def club_context(house: House) -> dict[str, Any]:
    """The club as every page shows it to the coach."""
    squad = house.store.squad()[0] if house.visitor.coach else None
    return {"club": squad.name, "here": len(squad.here), "players": len(squad.players)} if squad else {}

"""The HTML pages; templates get this context and fetch the rest.

=============  ====================================================================
every page     ``page`` (first, squad, games, game, floor, run, players, devices, join), ``version``,
               ``visitor`` (who asks); for the coach ``club`` (name of the squad
               or ""), ``here`` (players here), ``players`` (all of them)
games.html     ``games``: rows of id, name, sides_text, purpose, court, revision, changed_at
game.html      ``game_id``, ``game_name``, ``revision``
run.html       ``run``, the game as it is played; players.html too, for the players' screen
join.html      ``home`` (where to go on to; "" where that is this page)
missing.html   ``problem`` with place, what, mend (a page that is not there)
=============  ====================================================================
"""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from courtwright.web.context import InHouse
from courtwright.web.render import club_context, page_of
from courtwright.web.roles import HOME

router: Final = APIRouter(include_in_schema=False)


@router.get("/")
def first(request: Request, house: InHouse) -> Response:
    """The first start offers the demo club; after that a coach's home are the games."""
    if house.visitor.coach and house.store.empty:
        return page_of(request, "first", {})
    return RedirectResponse(HOME[house.visitor.role] if house.visitor.role else "/join", 303)


@router.get("/join")
def join(request: Request, house: InHouse) -> Response:
    """The way in for other devices, and what they are once they are in."""
    home = HOME[house.visitor.role] if house.visitor.role else ""
    return page_of(request, "join", {"home": "" if home == "/join" else home})


@router.get("/devices")
def devices(request: Request, house: InHouse) -> Response:
    """The devices that may come in, and the backup."""
    return page_of(request, "devices", club_context(house))


@router.get("/squad")
def squad(request: Request, house: InHouse) -> Response:
    """The squad page."""
    return page_of(request, "squad", club_context(house))


@router.get("/games")
def games(request: Request, house: InHouse) -> Response:
    """The list of games."""
    return page_of(request, "games", club_context(house) | {"games": house.store.games()})


@router.get("/games/{game_id}")
def game(request: Request, game_id: str, house: InHouse) -> Response:
    """The board of one game."""
    kept = house.store.game(game_id)
    named = {"game_id": kept.id, "game_name": kept.name, "revision": kept.revision}
    return page_of(request, "game", club_context(house) | named)


@router.get("/games/{game_id}/rota")
def rota(request: Request, game_id: str, house: InHouse) -> Response:
    """Who plays where in a game."""
    kept = house.store.game(game_id)
    return page_of(request, "rota", club_context(house) | {"game_id": kept.id, "game_name": kept.name})


@router.get("/floor")
def floor(request: Request, house: InHouse) -> Response:
    """The runs, and beginning one."""
    return page_of(request, "floor", club_context(house))


@router.get("/floor/{run}")
def run(request: Request, run: str, house: InHouse) -> Response:
    """One run on the floor."""
    house.store.runs.opening(run)
    return page_of(request, "run", {"run": run})


@router.get("/floor/{run}/players")
def players(request: Request, run: str, house: InHouse) -> Response:
    """The players' screen of a run."""
    house.store.runs.opening(run)
    return page_of(request, "players", {"run": run})

"""The HTML pages; templates get this context and fetch the rest.

=============  ====================================================================
every page     ``page`` (first, squad, games, game, floor, run, players), ``version``, ``club`` (name of
               the squad or ""), ``here`` (players here), ``players`` (all of them)
games.html     ``games``: rows of id, name, sides_text, purpose, court, revision, changed_at
game.html      ``game_id``, ``game_name``, ``revision``
run.html       ``run``, the game as it is played; players.html too, for the players' screen
missing.html   ``problem`` with place, what, mend (a page that is not there)
=============  ====================================================================
"""

from __future__ import annotations

from typing import Final

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from courtwright.web.context import InHouse
from courtwright.web.render import club_context, page_of

router: Final = APIRouter(include_in_schema=False)


@router.get("/")
def first(request: Request, house: InHouse) -> Response:
    """The first start offers the demo club; after that the games are home."""
    return page_of(request, "first", {}) if house.store.empty else RedirectResponse("/games", 303)


@router.get("/squad")
def squad(request: Request, house: InHouse) -> Response:
    """The squad page."""
    return page_of(request, "squad", club_context(house.store))


@router.get("/games")
def games(request: Request, house: InHouse) -> Response:
    """The list of games."""
    return page_of(request, "games", club_context(house.store) | {"games": house.store.games()})


@router.get("/games/{game_id}")
def game(request: Request, game_id: str, house: InHouse) -> Response:
    """The board of one game."""
    kept = house.store.game(game_id)
    named = {"game_id": kept.id, "game_name": kept.name, "revision": kept.revision}
    return page_of(request, "game", club_context(house.store) | named)


@router.get("/floor")
def floor(request: Request, house: InHouse) -> Response:
    """The runs, and beginning one."""
    return page_of(request, "floor", club_context(house.store))


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

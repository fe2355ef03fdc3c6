"""The JSON API for squad, games and words. Refusals leave as `courtwright.web.problems` says."""

from __future__ import annotations

from dataclasses import asdict
from http import HTTPStatus
from typing import Any, Final

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response

from courtwright.errors import DocumentError, NotFoundError, Problem
from courtwright.game.document import Game
from courtwright.game.grow import grow
from courtwright.game.library import library
from courtwright.game.read import game_from_json, loose_ends
from courtwright.game.starters import starters
from courtwright.squad import Squad, assumptions, parse_squad, squad_from_json
from courtwright.store import Kept, Listed
from courtwright.web.bodies import CheckGame, NewGame, SaveGame, SaveSquad
from courtwright.web.context import InHouse
from courtwright.web.problems import refusal
from courtwright.web.vocabulary import vocabulary

router: Final = APIRouter(prefix="/api")

Answer = dict[str, Any]


@router.get("/vocabulary")
def get_vocabulary() -> Answer:
    """Everything the forms offer."""
    return vocabulary()


@router.get("/schema/game")
def get_schema() -> Answer:
    """The JSON Schema of a game."""
    return Game.model_json_schema()


@router.get("/squad")
def get_squad(house: InHouse) -> Answer:
    """The club's squad, or nothing yet."""
    squad, revision = house.store.squad()
    if squad is None:
        return {"squad": None, "revision": 0, "hash": None, "assumptions": []}
    return _squad(squad, revision)


@router.put("/squad")
def put_squad(body: SaveSquad, house: InHouse) -> Answer:
    """Keep the squad."""
    squad = squad_from_json(body.squad)
    return _squad(squad, house.store.save_squad(squad, body.base))


def _squad(squad: Squad, revision: int) -> Answer:
    return {"squad": squad.to_json(), "revision": revision, "hash": squad.hash, "assumptions": assumptions(squad)}


@router.post("/squad/import")
async def import_squad(request: Request) -> Answer:
    """Read a squad file (CSV or JSON) without keeping it."""
    squad = parse_squad(await request.body(), source="squad file")
    return {"squad": squad.to_json(), "assumptions": assumptions(squad)}


@router.post("/demo", status_code=201)
def load_demo(request: Request, house: InHouse) -> Response:
    """Fill an empty store with the demo club and the starter games."""
    from courtwright.squad.demo import DEMO_SQUAD  # noqa: PLC0415 (read once in a lifetime)

    if not house.store.add_club(DEMO_SQUAD, list(starters().values())):
        problem = Problem("store", "already holds something", "The demo club only goes into an empty store.")
        return refusal(request, HTTPStatus.CONFLICT, problem)
    return JSONResponse(list_games(house), HTTPStatus.CREATED)


@router.get("/games")
def list_games(house: InHouse, removed: bool = False) -> Answer:
    """The games by name, or those that were removed."""
    return {"games": [_row(item) for item in house.store.games(removed=removed)]}


def _row(item: Listed) -> Answer:
    return asdict(item) | {"sides": item.sides_text}


@router.post("/games", status_code=201)
def add_game(body: NewGame, house: InHouse) -> Answer:
    """Keep a new game."""
    return _kept(house.store.add_game(_new_game(body, house)))


def _new_game(body: NewGame, house: InHouse) -> Game:
    if body.document is not None:
        return game_from_json(body.document)
    if body.copy_of is not None:
        game = house.store.game(body.copy_of).game
        return game.model_copy(update={"name": f"{game.name[:73]} (copy)"})
    if body.grow_of is not None and body.side is not None:
        return grow(house.store.game(body.grow_of).game, body.side)
    try:
        return library()[str(body.starter)]
    except KeyError:
        raise NotFoundError(f"there is no starter game “{body.starter}”; use one of {', '.join(library())}") from None


def _kept(kept: Kept) -> Answer:
    return {
        "id": kept.id,
        "revision": kept.revision,
        "document": kept.document,
        "hash": kept.hash,
        "changed_at": kept.changed_at,
        **_looked_at(kept.document),  # one that an older version took must stay readable to be mended
    }


def _looked_at(document: Answer) -> Answer:
    """What stops a game, and what is merely loose in its changed forms."""
    try:
        game = game_from_json(document)
    except DocumentError as error:
        return {"problems": [problem.to_json() for problem in error.problems], "loose": []}
    return {"problems": [], "loose": _loose(game)}


def _loose(game: Game) -> list[dict[str, str]]:
    return [problem.to_json() for problem in loose_ends(game)]


@router.get("/games/{game_id}")
def get_game(game_id: str, house: InHouse) -> Answer:
    """One game."""
    return _kept(house.store.game(game_id))


@router.put("/games/{game_id}")
def put_game(game_id: str, body: SaveGame, house: InHouse) -> Answer:
    """Keep a changed game."""
    game = game_from_json(body.document)
    revision = house.store.save_game(game_id, game, body.base)
    return {"revision": revision, "hash": game.hash, "loose": _loose(game)}


@router.delete("/games/{game_id}")
def delete_game(game_id: str, house: InHouse) -> Answer:
    """Take a game off the list; it can be restored."""
    house.store.remove_game(game_id)
    return {"removed": game_id}


@router.post("/games/{game_id}/restore")
def restore_game(game_id: str, house: InHouse) -> Answer:
    """Bring a removed game back."""
    return {"revision": house.store.restore_game(game_id)}


@router.get("/games/{game_id}/revisions")
def list_revisions(game_id: str, house: InHouse) -> Answer:
    """Every saved state, newest first."""
    return {"revisions": [asdict(item) for item in house.store.history(game_id)]}


@router.get("/games/{game_id}/revisions/{revision}")
def get_revision(game_id: str, revision: int, house: InHouse) -> Answer:
    """The game as it stood."""
    return _kept(house.store.game_at(game_id, revision))


@router.post("/check")
def check_game(body: CheckGame) -> Answer:
    """Look at a game without keeping it."""
    try:
        game = game_from_json(body.document)
    except DocumentError as error:
        return {"problems": [problem.to_json() for problem in error.problems], "loose": [], "hash": None}
    return {"problems": [], "loose": _loose(game), "hash": game.hash}

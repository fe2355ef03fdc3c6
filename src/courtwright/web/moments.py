"""Moments kept with a game."""

from __future__ import annotations

from dataclasses import asdict
from http import HTTPStatus
from typing import Any, Final

from fastapi import APIRouter

from courtwright.errors import DocumentError
from courtwright.game.document import Game
from courtwright.game.moment import Moment, moment_from_json, moment_of
from courtwright.store import KeptMoment
from courtwright.web.bodies import NewMoment, SaveGame
from courtwright.web.context import InHouse
from courtwright.web.plans import check_variant

router: Final = APIRouter(prefix="/api")

Answer = dict[str, Any]


@router.get("/schema/moment")
def get_schema() -> Answer:
    """The JSON Schema of a moment."""
    return Moment.model_json_schema()


@router.get("/games/{game_id}/moments")
def list_moments(game_id: str, house: InHouse, removed: bool = False) -> Answer:
    """The moments of a game, oldest first, or those that were removed."""
    return {"moments": [asdict(row) for row in house.store.moments.of(game_id, removed=removed)]}


@router.post("/games/{game_id}/moments", status_code=HTTPStatus.CREATED)
def add_moment(game_id: str, body: NewMoment, house: InHouse) -> Answer:
    """Keep a new moment: the one sent, or the start of the game."""
    if body.document is not None:
        moment = moment_from_json(body.document)
    else:
        moment = _start(house.store.game(game_id).game, body.variant)
    return _kept(house.store.moments.add(game_id, moment))


def _start(game: Game, variant: int | None) -> Moment:
    check_variant(game, variant)
    return moment_of(game, variant)


@router.get("/games/{game_id}/moments/{moment_id}")
def get_moment(game_id: str, moment_id: str, house: InHouse) -> Answer:
    """One moment."""
    return _kept(house.store.moments.get(game_id, moment_id))


@router.put("/games/{game_id}/moments/{moment_id}")
def put_moment(game_id: str, moment_id: str, body: SaveGame, house: InHouse) -> Answer:
    """Keep a changed moment; another name is a change like any other."""
    moment = moment_from_json(body.document)
    return {"revision": house.store.moments.save(game_id, moment_id, moment, body.base), "hash": moment.hash}


@router.delete("/games/{game_id}/moments/{moment_id}")
def delete_moment(game_id: str, moment_id: str, house: InHouse) -> Answer:
    """Take a moment off the list; it can be restored."""
    house.store.moments.remove(game_id, moment_id)
    return {"removed": moment_id}


@router.post("/games/{game_id}/moments/{moment_id}/restore")
def restore_moment(game_id: str, moment_id: str, house: InHouse) -> Answer:
    """Bring a removed moment back."""
    return {"revision": house.store.moments.restore(game_id, moment_id)}


@router.get("/games/{game_id}/moments/{moment_id}/revisions")
def list_revisions(game_id: str, moment_id: str, house: InHouse) -> Answer:
    """Every saved state, newest first."""
    return {"revisions": [asdict(item) for item in house.store.moments.history(game_id, moment_id)]}


def _kept(kept: KeptMoment) -> Answer:
    return {
        "id": kept.id,
        "game": kept.game_id,
        "revision": kept.revision,
        "document": kept.document,
        "hash": kept.hash,
        "changed_at": kept.changed_at,
        "problems": _problems(kept.document),
    }


def _problems(document: Answer) -> list[dict[str, str]]:
    try:
        moment_from_json(document)
    except DocumentError as error:
        return [problem.to_json() for problem in error.problems]
    return []

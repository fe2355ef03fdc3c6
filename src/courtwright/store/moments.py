"""Moments kept with a game: as with games, every saved state stays."""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import Any, Final

from sqlalchemy import Connection, Row, insert, select

from courtwright.errors import NotFoundError
from courtwright.game.moment import Moment
from courtwright.store import documents
from courtwright.store.documents import Content
from courtwright.store.records import GAME, KeptMoment, ListedMoment, Revision, revisions_of
from courtwright.store.schema import DOCUMENT, TIE

MOMENT: Final = "moment"

Transaction = Callable[[], AbstractContextManager[Connection]]


class Moments:
    """The moments of every game; each is asked for by its game and its own name."""

    def __init__(self, reading: Transaction, writing: Transaction) -> None:
        self._reading = reading
        self._writing = writing

    def of(self, game_id: str, *, removed: bool = False) -> list[ListedMoment]:
        """The moments of a game, oldest first, or those that were removed."""
        hidden = DOCUMENT.c.removed_at
        wanted = documents.current(MOMENT).where(
            DOCUMENT.c.id.in_(select(TIE.c.id).where(TIE.c.game_id == game_id)),
            hidden.is_not(None) if removed else hidden.is_(None),
        )
        with self._reading() as connection:
            documents.find(connection, GAME, game_id)
            rows = connection.execute(wanted.order_by(DOCUMENT.c.made_at, DOCUMENT.c.id)).all()
        return [_listed(row) for row in rows]

    def get(self, game_id: str, key: str) -> KeptMoment:
        """One moment at its current revision."""
        with self._reading() as connection:
            row = _find(connection, game_id, key)
        return KeptMoment(key, game_id, json.loads(row.document), row.hash, row.revision, row.saved_at)

    def add(self, game_id: str, moment: Moment, *, who: str = "") -> KeptMoment:
        """Keep a new moment with a game."""
        key = documents.new_id()
        with self._writing() as connection:
            documents.find(connection, GAME, game_id)
            documents.add(connection, MOMENT, key, _content(moment, who))
            connection.execute(insert(TIE).values(id=key, game_id=game_id))
        return self.get(game_id, key)

    def save(self, game_id: str, key: str, moment: Moment, base_revision: int, *, who: str = "") -> int:
        """Keep a changed moment on top of a revision; raise `ConflictError` if that is not the current."""
        with self._writing() as connection:
            _find(connection, game_id, key)
            return documents.save(connection, MOMENT, key, _content(moment, who), base_revision)

    def rename(self, game_id: str, key: str, name: str, base_revision: int, *, who: str = "") -> int:
        """Keep a moment under another name: a change like any other."""
        named = Moment.model_validate(self.get(game_id, key).document | {"name": name})
        return self.save(game_id, key, named, base_revision, who=who)

    def history(self, game_id: str, key: str) -> list[Revision]:
        """Every saved state of a moment, newest first; also of a removed one."""
        with self._reading() as connection:
            _find(connection, game_id, key, removed=True)
            return revisions_of(documents.revisions(connection, key))

    def remove(self, game_id: str, key: str) -> None:
        """Take a moment off the list; nothing is deleted."""
        with self._writing() as connection:
            _find(connection, game_id, key)
            documents.set_removed(connection, MOMENT, key, documents.now())

    def restore(self, game_id: str, key: str) -> int:
        """Bring a removed moment back; give its revision."""
        with self._writing() as connection:
            _find(connection, game_id, key, removed=True)
            return documents.set_removed(connection, MOMENT, key, None)


def _find(connection: Connection, game_id: str, key: str, *, removed: bool = False) -> Row[Any]:
    """A moment of this game; of another game's it is not said that they exist."""
    documents.find(connection, GAME, game_id)
    tied = connection.execute(select(TIE.c.id).where(TIE.c.id == key, TIE.c.game_id == game_id)).first()
    if tied is None:
        raise NotFoundError(f"there is no moment “{key}” with this game")
    return documents.find(connection, MOMENT, key, removed=removed)


def _content(moment: Moment, who: str) -> Content:
    return Content(moment.to_json(), moment.hash, who)


def _listed(row: Any) -> ListedMoment:
    document = json.loads(row.document)
    return ListedMoment(row.id, document["name"], document["cue"], row.revision, row.saved_at)

"""The store: the club's squad, its games with every revision, their moments, kept trials and runs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import asdict
from pathlib import Path
from threading import Lock
from typing import Any, Final, Self

from sqlalchemy import Connection, Engine, insert, select

from courtwright.errors import ConflictError, NotFoundError
from courtwright.game.document import Game
from courtwright.squad import Squad, parse_squad
from courtwright.store import documents
from courtwright.store.devices import Devices
from courtwright.store.documents import Content
from courtwright.store.moments import Moments
from courtwright.store.opening import WRITE, address_of, name_of, open_engine
from courtwright.store.records import GAME, Kept, KeptTrial, Listed, Revision, revisions_of
from courtwright.store.runs import Runs
from courtwright.store.schema import DOCUMENT, TRIAL
from courtwright.store.trouble import told

SQUAD: Final = "squad"
CLUB_SQUAD: Final = "club"
"""Name of the one squad a club has for now."""


class Store:
    """An open store; safe to use from several threads, and beside other programs."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._writer = engine.execution_options(**WRITE)
        self.name = name_of(engine.url)
        # SQLite has one writer, and makes the others sleep and try again; threads of one program rather queue
        self._turn: AbstractContextManager[Any] = Lock() if engine.dialect.name == "sqlite" else nullcontext()
        self.moments = Moments(self._reading, self._writing)
        self.runs = Runs(self._reading, self._writing)
        self.devices = Devices(self._reading, self._writing)

    @classmethod
    def open(cls, url: str | Path | None = None, *, busy_s: float = 5.0) -> Self:
        """Open a file or a database URL (nothing: the file in the user's data folder), making it if need be.

        ``busy_s`` is how long to wait for another writer before giving up.
        """
        return cls(open_engine(address_of(url), busy_s=busy_s))

    def close(self) -> None:
        """Let go of every connection."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def _reading(self) -> Iterator[Connection]:
        with told(self.name), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with self._turn, told(self.name), self._writer.begin() as connection:
            yield connection

    @contextmanager
    def snapshot(self) -> Iterator[Connection]:
        """One transaction that sees everything as it was at its first look, whatever is written meanwhile."""
        server = self._engine.dialect.name == "postgresql"
        engine = self._engine.execution_options(isolation_level="REPEATABLE READ") if server else self._engine
        with told(self.name), engine.begin() as connection:
            yield connection

    @property
    def empty(self) -> bool:
        """Whether nothing was ever kept here."""
        with self._reading() as connection:
            return not documents.exists(connection)

    def squad(self) -> tuple[Squad | None, int]:
        """The club's squad and its revision; (nothing, 0) before the first."""
        with self._reading() as connection:
            try:
                row = documents.find(connection, SQUAD, CLUB_SQUAD)
            except NotFoundError:
                return None, 0
        return parse_squad(row.document, source="kept squad"), row.revision

    def save_squad(self, squad: Squad, base_revision: int, *, who: str = "") -> int:
        """Keep the squad on top of the revision it was made from; raise `ConflictError` if that is not the current."""
        content = Content(squad.to_json(), squad.hash, who)
        with self._writing() as connection:
            if documents.exists(connection, CLUB_SQUAD):
                return documents.save(connection, SQUAD, CLUB_SQUAD, content, base_revision)
            if base_revision:
                raise ConflictError("the squad", 0)
            documents.add(connection, SQUAD, CLUB_SQUAD, content)
            return 1

    def games(self, *, removed: bool = False) -> list[Listed]:
        """The games by name, or those that were removed."""
        hidden = DOCUMENT.c.removed_at
        with self._reading() as connection:
            rows = connection.execute(
                documents.current(GAME).where(hidden.is_not(None) if removed else hidden.is_(None))
            ).all()
        return sorted(map(_listed, rows), key=lambda item: (item.name.casefold(), item.id))

    def game(self, key: str) -> Kept:
        """One game at its current revision."""
        with self._reading() as connection:
            row = documents.find(connection, GAME, key)
        return Kept(key, json.loads(row.document), row.hash, row.revision, row.saved_at)

    def add_game(self, game: Game, *, who: str = "") -> Kept:
        """Keep a new game."""
        with self._writing() as connection:
            key = _add_game(connection, game, who)
        return self.game(key)

    def add_club(self, squad: Squad, games: list[Game], *, who: str = "") -> bool:
        """Fill an empty store with a squad and games, all or nothing; say whether it was empty."""
        with self._writing() as connection:
            if documents.exists(connection):
                return False
            documents.add(connection, SQUAD, CLUB_SQUAD, Content(squad.to_json(), squad.hash, who))
            for game in games:
                _add_game(connection, game, who)
            return True

    def save_game(self, key: str, game: Game, base_revision: int, *, who: str = "") -> int:
        """Keep a game on top of the revision it was made from; raise `ConflictError` if that is not the current."""
        with self._writing() as connection:
            return documents.save(connection, GAME, key, Content(game.to_json(), game.hash, who), base_revision)

    def history(self, key: str) -> list[Revision]:
        """Every saved state of a game, newest first; also of a removed one."""
        with self._reading() as connection:
            documents.find(connection, GAME, key, removed=True)
            return revisions_of(documents.revisions(connection, key))

    def game_at(self, key: str, revision: int) -> Kept:
        """A game as it stood at a revision; also of a removed one."""
        with self._reading() as connection:
            documents.find(connection, GAME, key, removed=True)
            row = documents.revision_row(connection, key, revision)
        return Kept(key, json.loads(row.document), row.hash, row.revision, row.saved_at)

    def remove_game(self, key: str) -> None:
        """Take a game off the list; nothing is deleted."""
        with self._writing() as connection:
            documents.find(connection, GAME, key, lock=True)
            documents.set_removed(connection, GAME, key, documents.now())

    def restore_game(self, key: str) -> int:
        """Bring a removed game back; give its revision."""
        with self._writing() as connection:
            return documents.set_removed(connection, GAME, key, None)

    def keep_trial(self, game_id: str, summary: dict[str, Any]) -> KeptTrial:
        """Keep a trial's summary beside its game, also where the game has been changed or removed since."""
        trial = KeptTrial(
            id=documents.new_id(),
            game_id=game_id,
            game_hash=summary["game_hash"],
            squad_hash=summary["squad_hash"],
            model_version=str(summary["model"]["version"]),
            seed=summary["seed"],
            kept_at=documents.now(),
            summary=summary,
        )
        with self._writing() as connection:
            documents.find(connection, GAME, game_id, removed=True)
            connection.execute(insert(TRIAL).values(_trial_row(trial)))
        return trial

    def trials(self, game_id: str, *, most: int = 20) -> list[KeptTrial]:
        """The newest trials kept for a game, newest first."""
        wanted = select(TRIAL).where(TRIAL.c.game_id == game_id).order_by(TRIAL.c.kept_at.desc(), TRIAL.c.id)
        with self._reading() as connection:
            rows = connection.execute(wanted.limit(most)).mappings().all()
        return [KeptTrial(**{**row, "summary": json.loads(row["summary"])}) for row in rows]


def _add_game(connection: Connection, game: Game, who: str) -> str:
    key = documents.new_id()
    documents.add(connection, GAME, key, Content(game.to_json(), game.hash, who))
    return key


def _listed(row: Any) -> Listed:
    document = json.loads(row.document)
    return Listed(
        row.id,
        document["name"],
        document["purpose"],
        document["court"],
        document["sides"],
        row.revision,
        row.saved_at,
    )


def _trial_row(trial: KeptTrial) -> dict[str, Any]:
    return asdict(trial) | {"summary": json.dumps(trial.summary, allow_nan=False)}

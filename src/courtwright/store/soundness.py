"""Is the store sound? Looked at without changing anything: no table is made, no migration run, no log begun."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, func, inspect, select, text
from sqlalchemy.engine import URL

from courtwright.errors import DocumentError, StoreError
from courtwright.game.moment import moment_from_json
from courtwright.game.read import game_from_json
from courtwright.squad import squad_from_json
from courtwright.store.opening import address_of, name_of
from courtwright.store.schema import DOCUMENT, MIGRATIONS, REVISION, VERSION_TABLE
from courtwright.store.trouble import told

READERS: Final[dict[str, Callable[[dict[str, Any]], Any]]] = {
    "game": game_from_json,
    "moment": moment_from_json,
    "squad": squad_from_json,
}
AHEAD: Final = timedelta(minutes=5)
"""So far may what is kept be ahead of this computer's clock."""

_BACKUP: Final = "Stop Courtwright and put a backup in its place: courtwright restore FILE"


@dataclass(frozen=True, slots=True)
class Check:
    """One thing looked at: what, whether it is well, what was found, what to do where it is not."""

    what: str
    ok: bool
    found: str = ""
    mend: str = ""


def check_store(url: str | Path | None) -> Iterator[Check]:
    """Look at a store; one that is not there yet is no fault."""
    try:
        address = address_of(url)
        name = name_of(address)
        if address.get_backend_name() == "sqlite" and not Path(str(address.database)).exists():
            yield Check("store", True, f"{name} is made at the first start")
            return
        engine = _looking(address)
    except (StoreError, ModuleNotFoundError) as error:
        yield Check("store", False, str(error), "Write a file name or the address of a database.")
        return
    try:
        with told(name), engine.begin() as connection:
            yield from _checks(connection, name)
    except StoreError as error:
        yield Check("store", False, str(error), _BACKUP)
    finally:
        engine.dispose()


def _looking(address: URL) -> Engine:
    """Connections that can only read."""
    if address.get_backend_name() not in ("sqlite", "postgresql"):
        raise StoreError(f"there is no store on {address.get_backend_name()}")
    if address.get_backend_name() == "postgresql":
        return create_engine(address, connect_args={"options": "-c default_transaction_read_only=on"})
    place = Path(str(address.database)).absolute()
    # where no log is left nothing else can be in use: looked at as it lies, so that no log is begun either
    lies = "" if place.with_name(f"{place.name}-wal").exists() else "&immutable=1"

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(f"file:{quote(str(place))}?mode=ro{lies}", uri=True, check_same_thread=False)

    return create_engine("sqlite://", creator=connect)


def _checks(connection: Connection, name: str) -> Iterator[Check]:
    tables = inspect(connection).get_table_names()
    if VERSION_TABLE not in tables:
        if tables:
            yield Check("store", False, f"{name} is not a Courtwright store", "Choose another file name.")
        else:
            yield Check("store", True, f"{name} is empty")
        return
    version = str(connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar())
    yield Check("store", True, name)
    yield _version(version)
    if connection.dialect.name == "sqlite":
        yield _intact(connection)
        yield _tied(connection)
    if version in MIGRATIONS:
        yield _hashes(connection)
        yield _clock(connection)


def _version(version: str) -> Check:
    if version not in MIGRATIONS:
        return Check("store version", False, f"{version} is of a newer Courtwright", "Update the program.")
    older = version != MIGRATIONS[-1]
    return Check("store version", True, f"{version}, brought up to {MIGRATIONS[-1]} at the next start" if older else "")


def _intact(connection: Connection) -> Check:
    found = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check(20)")]
    if found == ["ok"]:
        return Check("store file", True)
    return Check("store file", False, found[0], _BACKUP)


def _tied(connection: Connection) -> Check:
    loose = {str(row[0]) for row in connection.exec_driver_sql("PRAGMA foreign_key_check")}
    if not loose:
        return Check("what belongs together", True)
    return Check("what belongs together", False, f"rows of {', '.join(sorted(loose))} belong to nothing", _BACKUP)


def _hashes(connection: Connection) -> Check:
    """Hold every saved state against the name of its content."""
    both = select(DOCUMENT.c.kind, REVISION).join(REVISION, REVISION.c.document_id == DOCUMENT.c.id)
    looked = unread = 0
    wrong: list[str] = []
    for row in connection.execute(both.execution_options(yield_per=200)):
        read = READERS.get(row.kind)
        if read is None:
            continue
        looked += 1
        try:
            if read(json.loads(row.document)).hash != row.hash:
                wrong.append(f"{row.document_id} revision {row.revision}")
        except DocumentError:
            unread += 1  # an older version took it: it is shown to be mended, and is not damaged
        except (ValueError, TypeError):
            wrong.append(f"{row.document_id} revision {row.revision}")
    if wrong:
        more = f" and {len(wrong) - 3} more" if len(wrong) > 3 else ""
        return Check("saved states", False, f"not as they were saved: {', '.join(wrong[:3])}{more}", _BACKUP)
    older = f", {unread} of them as an older version wrote them" if unread else ""
    return Check("saved states", True, f"{looked} read{older}")


def _clock(connection: Connection) -> Check:
    newest = connection.execute(select(func.max(REVISION.c.saved_at))).scalar()
    if newest is None or datetime.fromisoformat(newest) <= datetime.now(UTC) + AHEAD:
        return Check("clock", True, f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC")
    found = f"it is {datetime.now(UTC):%Y-%m-%d %H:%M} UTC here, but something was saved at {newest[:16]}"
    return Check("clock", False, found.replace("T", " "), "Set this computer's date and time.")

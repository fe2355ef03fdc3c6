"""A backup put in the place of a store: looked through first, all or nothing, and what was there is set aside."""

from __future__ import annotations

import sqlite3
import zipfile
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from typing import Final
from urllib.parse import quote

from sqlalchemy import Connection, Engine, MetaData, Table, func, insert, select, text
from sqlalchemy.engine import URL
from sqlalchemy.exc import OperationalError

from courtwright.errors import DocumentError, Problem
from courtwright.store.backup import ENDING, kept_tables, write_file
from courtwright.store.manifest import Manifest, Part, lines_of, verified
from courtwright.store.opening import OUTSIDE, WRITE, address_of, migrate, name_of, open_engine
from courtwright.store.schema import METADATA, VERSION_TABLE
from courtwright.store.trouble import store_error, told

ROWS_AT_ONCE: Final = 500


@dataclass(frozen=True, slots=True)
class Restored:
    """What was put in place, and where that which was there before now is."""

    manifest: Manifest
    store: str
    set_aside: Path | None


def restore_from(path: Path, url: str | Path | None = None, *, busy_s: float = 5.0) -> Restored:
    """Put a backup in the place of a store (which need not be there yet)."""
    manifest, address = verified(path), address_of(url)
    aside = _beside(address, path)
    damaged = _set_damaged_aside(address, aside)
    name, engine = name_of(address), open_engine(address, busy_s=busy_s)
    try:
        _be_alone(engine, name)
        with told(name), engine.execution_options(**WRITE).begin() as connection:
            _hold(connection)
            set_aside = damaged or _set_aside(connection, aside)
            _replace(connection, path, manifest)
    finally:
        engine.dispose()
    return Restored(manifest, name, set_aside)


def _beside(address: URL, path: Path) -> Path:
    """Where that which is there now goes: beside the store where that is a file, else beside the backup."""
    stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
    if address.get_backend_name() == "sqlite" and address.database:
        place = Path(address.database)
        return place.with_name(f"{place.stem}-before-{stamp}{ENDING}")
    return path.absolute().with_name(f"{address.database}-before-{stamp}{ENDING}")


def _set_aside(connection: Connection, aside: Path) -> Path | None:
    """Keep what is there as a backup of its own; nothing where nothing is."""
    if not any(connection.execute(select(table).limit(1)).first() for table in kept_tables()):
        return None
    write_file(connection, aside)
    return aside


def _set_damaged_aside(address: URL, aside: Path) -> Path | None:
    """Move a file that is damaged out of the way, as it is: no backup can be made of it."""
    if address.get_backend_name() != "sqlite" or not address.database or not Path(address.database).is_file():
        return None
    place = Path(address.database)
    try:
        with closing(sqlite3.connect(f"file:{quote(str(place.absolute()))}?mode=ro", uri=True)) as connection:
            sound = connection.execute("PRAGMA quick_check(1)").fetchone() == ("ok",)
    except sqlite3.DatabaseError as error:
        sound = getattr(error, "sqlite_errorname", "").partition("_")[2].partition("_")[0] != "CORRUPT"
    if sound:
        return None  # or what opening it will say
    damaged = aside.with_suffix(".damaged")
    for ending in ("-wal", "-shm", ""):
        with suppress(FileNotFoundError):
            Path(f"{place}{ending}").rename(f"{damaged}{ending}")
    return damaged


def _be_alone(engine: Engine, name: str) -> None:
    """Make sure that no other program has the store open; else the app would go on with what is gone."""
    engine.dispose()  # our own connections would count
    try:
        with engine.execution_options(**OUTSIDE).connect() as connection:
            if connection.dialect.name == "sqlite":
                # leaving the log takes the whole file: refused while anyone has it open, even idle
                connection.exec_driver_sql("PRAGMA journal_mode=DELETE")
            elif _others(connection):
                raise store_error(name, "open")
    except OperationalError as error:
        raise store_error(name, "open") from error


def _hold(connection: Connection) -> None:
    """Let nobody look or write until the end; SQLite's transaction does so by itself."""
    if connection.dialect.name == "postgresql":
        names = ", ".join(sorted(METADATA.tables))
        connection.execute(text(f"LOCK TABLE {names} IN ACCESS EXCLUSIVE MODE"))


def _others(connection: Connection) -> int:
    wanted = (
        "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() "
        "AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
    )
    return int(connection.execute(text(wanted)).scalar_one())


def _replace(connection: Connection, path: Path, manifest: Manifest) -> None:
    """Take away what is there, make the tables of the backup's time, fill them, bring them up to date."""
    METADATA.drop_all(connection)
    connection.execute(text(f"DROP TABLE IF EXISTS {VERSION_TABLE}"))
    migrate(connection, manifest.schema)
    tables = MetaData()
    tables.reflect(connection)
    problems = list(_misfits(tables, manifest))
    if problems:
        raise DocumentError(path.name, problems)
    with zipfile.ZipFile(path) as archive:
        for table in tables.sorted_tables:
            if table.name in manifest.parts:
                _fill(connection, table, archive, manifest.parts[table.name])
    migrate(connection)
    for name, part in manifest.parts.items():
        found = connection.execute(select(func.count()).select_from(tables.tables[name])).scalar_one()
        if found != part.rows:  # never seen; better said than kept
            raise DocumentError(path.name, [Problem(name, f"came to {found} rows, not {part.rows}", "Report this.")])


def _misfits(tables: MetaData, manifest: Manifest) -> Iterator[Problem]:
    """Parts and columns that the store of that version does not have, or that are missing."""
    mend = "Use another backup; nothing was changed."
    left_out = {VERSION_TABLE, *METADATA.tables} - {table.name for table in kept_tables()}
    for name in sorted({*tables.tables} - left_out - {*manifest.parts}):
        yield Problem(name, "is missing from the backup", mend)
    for name, part in manifest.parts.items():
        if name not in tables.tables:
            yield Problem(name, f"is not known in a store of version {manifest.schema}", mend)
        elif {*part.columns} != {column.name for column in tables.tables[name].columns}:
            yield Problem(name, "has other columns than the store", mend)


def _fill(connection: Connection, table: Table, archive: zipfile.ZipFile, part: Part) -> None:
    rows = lines_of(archive, table.name, part)
    while batch := list(islice(rows, ROWS_AT_ONCE)):
        connection.execute(insert(table), batch)

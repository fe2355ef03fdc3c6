"""Everything that is kept, as one file: whole as at one moment, also while the app runs, for either database."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import zipfile
from pathlib import Path
from typing import IO, Final

from sqlalchemy import Connection, Table, null, select, text

from courtwright import __version__
from courtwright.errors import DocumentError, Problem, StoreError
from courtwright.store.documents import now
from courtwright.store.manifest import MANIFEST, Manifest, Part, is_backup, part_name
from courtwright.store.schema import METADATA, MIGRATIONS, VERSION_TABLE
from courtwright.store.store import Store

ROWS_AT_ONCE: Final = 500
ENDING: Final = ".courtwright-backup"


def kept_tables() -> list[Table]:
    """The tables a backup holds, each after those it refers to: all there are, but for what says otherwise."""
    return [table for table in METADATA.sorted_tables if table.info.get("backup", True)]


def file_name(made_at: str) -> str:
    """A name for a backup made at a time (UTC, ISO 8601)."""
    return f"courtwright-{made_at[:19].replace(':', '').replace('-', '').replace('T', '-')}{ENDING}"


def write_backup(store: Store, file: IO[bytes]) -> Manifest:
    """Write a backup into an open file."""
    with store.snapshot() as connection:
        return write_from(connection, file)


def write_from(connection: Connection, file: IO[bytes]) -> Manifest:
    """Write what one transaction sees."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        version = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
        if version != MIGRATIONS[-1]:
            raise StoreError("the store was changed by a newer Courtwright; back it up with that one")
        parts = {table.name: _write_part(connection, table, archive) for table in kept_tables()}
        manifest = Manifest(now(), __version__, MIGRATIONS[-1], parts)
        archive.writestr(MANIFEST, json.dumps(manifest.to_json(), indent=1))
    return manifest


def _write_part(connection: Connection, table: Table, archive: zipfile.ZipFile) -> Part:
    columns = [null().label(column.name) if column.info.get("secret") else column for column in table.columns]
    wanted = select(*columns).select_from(table).order_by(*table.primary_key.columns)
    rows = connection.execute(wanted.execution_options(yield_per=ROWS_AT_ONCE))
    digest, count = hashlib.sha256(), 0
    with archive.open(part_name(table.name), "w", force_zip64=True) as part:
        for row in rows:
            line = json.dumps(list(row), allow_nan=False, separators=(",", ":")).encode() + b"\n"
            digest.update(line)
            part.write(line)
            count += 1
    return Part([column.name for column in table.columns], count, digest.hexdigest())


def backup_to(store: Store, path: Path) -> Manifest:
    """Write a backup file, whole or not at all; another backup is written over, nothing else is."""
    with store.snapshot() as connection:
        return write_file(connection, path)


def write_file(connection: Connection, path: Path) -> Manifest:
    """The same of what one transaction sees."""
    if path.exists() and not is_backup(path):
        problem = Problem(str(path), "is there already and is no backup", "Choose another name; nothing was written.")
        raise DocumentError(path.name, [problem])
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        with part.open("xb") as file:
            manifest = write_from(connection, file)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(0o600)  # names of minors: for nobody else on this machine
        part.replace(path)
    except OSError as error:
        why = error.strerror or str(error)
        mend = "Name another folder, or make room; nothing was written."
        raise DocumentError(path.name, [Problem(str(path), f"cannot be written ({why})", mend)]) from None
    finally:
        part.unlink(missing_ok=True)
    return manifest

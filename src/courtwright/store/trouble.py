"""Database errors in words a coach can act on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DBAPIError

from courtwright.errors import StoreError

TEXTS: Final = {
    "read-only": "cannot be written to. Allow yourself to write to the file and its folder, or choose another place",
    "full": "has no room left: the disk is full. Free some space and save again; nothing kept so far is lost",
    "locked": "is busy: another program is writing to it. Close that program, or try again in a moment",
    "open": "is open in another program. Stop Courtwright everywhere first; nothing was changed",
    "disk": "could not be read or written: the disk reports an error. Check the disk; nothing was saved",
    "foreign": "is not a Courtwright store. Choose another file name",
    "damaged": "is damaged. Put a backup in its place; do not write to this file any more",
    "no place": "cannot be opened. Check that its folder exists and that you may read and write there",
    "unreachable": "cannot be reached. Check that its server runs, and the address, name and password",
    "newer": "was written by a newer Courtwright. Update the program; the store was left as it is",
    "other": "refused",
}

# By the start of SQLite's own names for its errors, and of PostgreSQL's five-letter codes.
KINDS: Final = {
    "SQLITE_READONLY": "read-only",
    "SQLITE_FULL": "full",
    "SQLITE_IOERR": "disk",
    "SQLITE_BUSY": "locked",
    "SQLITE_LOCKED": "locked",
    "SQLITE_NOTADB": "foreign",
    "SQLITE_CORRUPT": "damaged",
    "SQLITE_CANTOPEN": "no place",
    "SQLITE_PERM": "no place",
    "25006": "read-only",
    "53100": "full",
    "55P03": "locked",
    "57P": "unreachable",
    "08": "unreachable",
    "28": "unreachable",
    "3D": "unreachable",
    "58": "disk",
    "XX001": "damaged",
    "XX002": "damaged",
}


def store_error(where: str, kind: str, detail: str = "") -> StoreError:
    """The error for one kind of trouble."""
    return StoreError(f"the store {where} {TEXTS[kind]}{f' ({detail})' if detail else ''}")


@contextmanager
def told(where: str) -> Iterator[None]:
    """Turn what the database says into a `StoreError` that names the place and the mend."""
    try:
        yield
    except DBAPIError as error:
        kind = _kind(error)
        detail = str(error.orig).strip().splitlines()[0] if kind in ("other", "unreachable") else ""
        raise store_error(where, kind, detail) from error


def _kind(error: DBAPIError) -> str:
    cause = error.orig
    name = str(getattr(cause, "sqlite_errorname", None) or getattr(cause, "sqlstate", None) or "")
    if not name:  # psycopg gives no code where there was no server to give one
        return "unreachable" if error.connection_invalidated or "connect" in str(cause) else "other"
    return next((kind for start, kind in KINDS.items() if name.startswith(start)), "other")

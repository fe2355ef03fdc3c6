"""Documents and their revisions, on an open connection. Rows of revisions are added, never changed."""

from __future__ import annotations

import json
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, Select, insert, select, update
from sqlalchemy.exc import IntegrityError

from courtwright.errors import ConflictError, NotFoundError
from courtwright.store.schema import DOCUMENT, REVISION


@dataclass(frozen=True, slots=True)
class Content:
    """What is to be kept, and who keeps it (a device or a person; empty where unknown)."""

    document: dict[str, Any]
    hash: str
    who: str = ""


def now() -> str:
    """The time now, as the store writes it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def new_id() -> str:
    """A name nobody else has drawn."""
    return secrets.token_hex(8)


def current(kind: str) -> Select[Any]:
    """Every document of a kind at its current revision."""
    both = DOCUMENT.join(
        REVISION, (REVISION.c.document_id == DOCUMENT.c.id) & (REVISION.c.revision == DOCUMENT.c.revision)
    )
    columns = (REVISION.c.document, REVISION.c.hash, REVISION.c.saved_at)
    return select(DOCUMENT, *columns).select_from(both).where(DOCUMENT.c.kind == kind)


def find(connection: Connection, kind: str, key: str, *, lock: bool = False, removed: bool = False) -> Row[Any]:
    """The document at its current revision; ``lock`` holds off other writers until the transaction ends."""
    if (
        lock
    ):  # a statement of its own: PostgreSQL would wait, then join the new row to the old revision, and find nothing
        connection.execute(select(DOCUMENT.c.id).where(DOCUMENT.c.id == key).with_for_update())
    row = connection.execute(current(kind).where(DOCUMENT.c.id == key)).one_or_none()
    if row is None:
        raise NotFoundError(f"there is no {kind} “{key}”; it may be in another store")
    if row.removed_at and not removed:
        raise NotFoundError(f"the {kind} “{json.loads(row.document).get('name', key)}” was removed; restore it first")
    return row


def add(connection: Connection, kind: str, key: str, content: Content) -> None:
    """Keep a new document as revision 1."""
    try:
        connection.execute(insert(DOCUMENT).values(id=key, kind=kind, revision=1, made_at=now()))
    except IntegrityError:  # PostgreSQL lets two look and find nothing in the same moment
        raise ConflictError(f"the {kind}", 1) from None
    _append(connection, key, 1, content)


def save(connection: Connection, kind: str, key: str, content: Content, base: int) -> int:
    """Add a revision on top of ``base``; the same content again, as after a lost answer, changes nothing."""
    row = find(connection, kind, key, lock=True)
    if row.hash == content.hash:
        return int(row.revision)
    if row.revision != base:
        raise ConflictError(f"the {kind} “{json.loads(row.document).get('name', key)}”", row.revision)
    _append(connection, key, base + 1, content)
    connection.execute(update(DOCUMENT).where(DOCUMENT.c.id == key).values(revision=base + 1))
    return base + 1


def _append(connection: Connection, key: str, revision: int, content: Content) -> None:
    row = {
        "document_id": key,
        "revision": revision,
        "document": json.dumps(content.document, allow_nan=False),  # in ASCII: no database trips over a strange sign
        "hash": content.hash,
        "saved_at": now(),
        "who": content.who,
    }
    connection.execute(insert(REVISION).values(row))


def set_removed(connection: Connection, kind: str, key: str, removed_at: str | None) -> int:
    """Hide a document, or bring it back; give its current revision."""
    row = find(connection, kind, key, lock=True, removed=True)
    connection.execute(update(DOCUMENT).where(DOCUMENT.c.id == key).values(removed_at=removed_at))
    return int(row.revision)


def revisions(connection: Connection, key: str) -> list[Row[Any]]:
    """Every revision of a document, newest first."""
    wanted = select(REVISION).where(REVISION.c.document_id == key).order_by(REVISION.c.revision.desc())
    return list(connection.execute(wanted))


def revision_row(connection: Connection, key: str, revision: int) -> Row[Any]:
    """One revision of a document."""
    wanted = select(REVISION).where(REVISION.c.document_id == key, REVISION.c.revision == revision)
    row = connection.execute(wanted).one_or_none()
    if row is None:
        raise NotFoundError(f"there is no revision {revision} of “{key}”")
    return row


def exists(connection: Connection, key: str | None = None) -> bool:
    """Whether that document, or any at all, was ever kept."""
    wanted = select(DOCUMENT.c.id).limit(1)
    return connection.execute(wanted if key is None else wanted.where(DOCUMENT.c.id == key)).first() is not None

"""The tables. A change here needs a migration in ``migrations/versions``, added to `MIGRATIONS`.

Columns are text and whole numbers only, so that SQLite's strict tables and
PostgreSQL hold the same values. Documents stay JSON *text*: their hash names
the exact content, and a database's own JSON type would reorder it.

A backup takes every table there is. ``info={"backup": False}`` leaves a table out of it, ``info={"secret": True}``
empties a column.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import BigInteger, Column, ForeignKey, Index, Integer, MetaData, Table, Text, UniqueConstraint

MIGRATIONS: Final = ("0001", "0002", "0003", "0004")
"""Every migration, oldest first; known here so that opening an up-to-date store need not load alembic."""

VERSION_TABLE: Final = "courtwright_version"
"""Names the newest migration that was run, and marks a database as one of ours."""

METADATA: Final = MetaData(
    naming_convention={  # named constraints: batch migrations on SQLite can only drop what has a name
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)

BIG: Final = BigInteger().with_variant(Integer, "sqlite")

DOCUMENT: Final = Table(
    "document",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("revision", Integer, nullable=False, comment="the current one"),
    Column("made_at", Text, nullable=False, comment="UTC, ISO 8601"),
    Column("removed_at", Text),
    sqlite_strict=True,
)

REVISION: Final = Table(
    "revision",
    METADATA,
    Column("document_id", Text, ForeignKey("document.id"), primary_key=True),
    Column("revision", Integer, primary_key=True, autoincrement=False),
    Column("document", Text, nullable=False, comment="JSON"),
    Column("hash", Text, nullable=False),
    Column("saved_at", Text, nullable=False),
    Column("who", Text, nullable=False, comment="a device or a person; empty where unknown"),
    sqlite_strict=True,
)

TIE: Final = Table(
    "moment",
    METADATA,
    Column("id", Text, ForeignKey("document.id"), primary_key=True),
    Column("game_id", Text, ForeignKey("document.id"), nullable=False, comment="the game it is kept with"),
    Index("ix_moment_game_id", "game_id"),
    sqlite_strict=True,
)

TRIAL: Final = Table(
    "trial",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("game_id", Text, ForeignKey("document.id"), nullable=False),
    Column("game_hash", Text, nullable=False),
    Column("squad_hash", Text, nullable=False),
    Column("model_version", Text, nullable=False),
    Column("seed", BIG, nullable=False),
    Column("kept_at", Text, nullable=False),
    Column("summary", Text, nullable=False, comment="JSON"),
    Index("ix_trial_game_id_kept_at", "game_id", "kept_at"),
    sqlite_strict=True,
)

DEVICE: Final = Table(
    "device",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("role", Text, nullable=False),
    Column(
        "secret_hash",
        Text,
        unique=True,
        info={"secret": True},
        comment="SHA-256 of what the device shows; empty once it may not come in any more",
    ),
    Column("made_at", Text, nullable=False),
    Column("seen_at", Text),
    Column("revoked_at", Text),
    sqlite_strict=True,
)

JOIN_CODE: Final = Table(
    "join_code",
    METADATA,
    Column("role", Text, primary_key=True, comment="one code at a time for each"),
    Column("code_hash", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("expires_at", Text, nullable=False),
    sqlite_strict=True,
    info={"backup": False},
)

RUN: Final = Table(
    "run",
    METADATA,
    Column("id", Text, primary_key=True),
    Column("game_id", Text, nullable=False, comment="the game it is a run of; maybe in another store"),
    Column("opening", Text, nullable=False, comment="JSON"),
    Column("made_at", Text, nullable=False, comment="UTC, ISO 8601"),
    Column("last", BIG, nullable=False, comment="how many facts have arrived"),
    Index("ix_run_made_at", "made_at"),
    sqlite_strict=True,
)

FACT: Final = Table(
    "fact",
    METADATA,
    Column("run_id", Text, ForeignKey("run.id"), primary_key=True),
    Column("arrival", BIG, primary_key=True, autoincrement=False, comment="1, 2, 3 ... in each run"),
    Column("event_id", Text, nullable=False),
    Column("fact", Text, nullable=False, comment="JSON"),
    UniqueConstraint("run_id", "event_id"),
    sqlite_strict=True,
)

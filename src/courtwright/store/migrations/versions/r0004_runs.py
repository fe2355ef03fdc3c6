"""Runs on the floor: how each opened, and its facts in the order they arrived. Facts are added, never changed."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_BIG = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make room for runs and their facts."""
    op.create_table(
        "run",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("game_id", sa.Text, nullable=False, comment="the game it is a run of; maybe in another store"),
        sa.Column("opening", sa.Text, nullable=False, comment="JSON"),
        sa.Column("made_at", sa.Text, nullable=False, comment="UTC, ISO 8601"),
        sa.Column("last", _BIG, nullable=False, comment="how many facts have arrived"),
        sa.PrimaryKeyConstraint("id", name="pk_run"),
        sqlite_strict=True,
    )
    op.create_index("ix_run_made_at", "run", ["made_at"])
    op.create_table(
        "fact",
        sa.Column("run_id", sa.Text, nullable=False),
        sa.Column("arrival", _BIG, nullable=False, autoincrement=False, comment="1, 2, 3 ... in each run"),
        sa.Column("event_id", sa.Text, nullable=False),
        sa.Column("fact", sa.Text, nullable=False, comment="JSON"),
        sa.PrimaryKeyConstraint("run_id", "arrival", name="pk_fact"),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name="fk_fact_run_id_run"),
        sa.UniqueConstraint("run_id", "event_id", name="uq_fact_run_id"),
        sqlite_strict=True,
    )


def downgrade() -> None:
    """Refuse: going back would throw data away."""
    raise NotImplementedError("a store is not taken back to an older version; restore a backup instead")

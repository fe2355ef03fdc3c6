"""Moments, each kept with a game. The moment itself is a document with revisions like any other."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Tie moments to games."""
    op.create_table(
        "moment",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("game_id", sa.Text, nullable=False, comment="the game it is kept with"),
        sa.PrimaryKeyConstraint("id", name="pk_moment"),
        sa.ForeignKeyConstraint(["id"], ["document.id"], name="fk_moment_id_document"),
        sa.ForeignKeyConstraint(["game_id"], ["document.id"], name="fk_moment_game_id_document"),
        sqlite_strict=True,
    )
    op.create_index("ix_moment_game_id", "moment", ["game_id"])


def downgrade() -> None:
    """Refuse: going back would throw data away."""
    raise NotImplementedError("a store is not taken back to an older version; restore a backup instead")

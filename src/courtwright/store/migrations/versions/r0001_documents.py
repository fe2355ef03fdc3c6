"""Documents with all their revisions, and kept trials."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "document",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False, comment="the current one"),
        sa.Column("made_at", sa.Text, nullable=False, comment="UTC, ISO 8601"),
        sa.Column("removed_at", sa.Text),
        sa.PrimaryKeyConstraint("id", name="pk_document"),
        sqlite_strict=True,
    )
    op.create_table(
        "revision",
        sa.Column("document_id", sa.Text, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("document", sa.Text, nullable=False, comment="JSON"),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("saved_at", sa.Text, nullable=False),
        sa.Column("who", sa.Text, nullable=False, comment="a device or a person; empty where unknown"),
        sa.PrimaryKeyConstraint("document_id", "revision", name="pk_revision"),
        sa.ForeignKeyConstraint(["document_id"], ["document.id"], name="fk_revision_document_id_document"),
        sqlite_strict=True,
    )
    op.create_table(
        "trial",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("game_id", sa.Text, nullable=False),
        sa.Column("game_hash", sa.Text, nullable=False),
        sa.Column("squad_hash", sa.Text, nullable=False),
        sa.Column("model_version", sa.Text, nullable=False),
        sa.Column("seed", sa.BigInteger().with_variant(sa.Integer, "sqlite"), nullable=False),
        sa.Column("kept_at", sa.Text, nullable=False),
        sa.Column("summary", sa.Text, nullable=False, comment="JSON"),
        sa.PrimaryKeyConstraint("id", name="pk_trial"),
        sa.ForeignKeyConstraint(["game_id"], ["document.id"], name="fk_trial_game_id_document"),
        sqlite_strict=True,
    )
    op.create_index("ix_trial_game_id_kept_at", "trial", ["game_id", "kept_at"])


def downgrade() -> None:
    """Refuse: going back would throw data away."""
    raise NotImplementedError("a store is not taken back to an older version; restore a backup instead")

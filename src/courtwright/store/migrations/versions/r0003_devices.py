"""Other devices in the gym, and the codes they join with. Neither a device's secret nor a code is kept, only a hash."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make room for devices."""
    op.create_table(
        "device",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column(
            "secret_hash",
            sa.Text,
            comment="SHA-256 of what the device shows; empty once it may not come in any more",
        ),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("seen_at", sa.Text),
        sa.Column("revoked_at", sa.Text),
        sa.PrimaryKeyConstraint("id", name="pk_device"),
        sa.UniqueConstraint("secret_hash", name="uq_device_secret_hash"),
        sqlite_strict=True,
    )
    op.create_table(
        "join_code",
        sa.Column("role", sa.Text, nullable=False, comment="one code at a time for each"),
        sa.Column("code_hash", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("expires_at", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("role", name="pk_join_code"),
        sqlite_strict=True,
    )


def downgrade() -> None:
    """Refuse: going back would throw data away."""
    raise NotImplementedError("a store is not taken back to an older version; restore a backup instead")

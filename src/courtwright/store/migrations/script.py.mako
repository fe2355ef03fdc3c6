"""${message}."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}
branch_labels = None
depends_on = None


def upgrade() -> None:
    """${message}."""
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    """Refuse: going back would throw data away."""
    raise NotImplementedError("a store is not taken back to an older version; restore a backup instead")

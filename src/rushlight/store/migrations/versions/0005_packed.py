"""Packaging that leaves with an order: which line it was packed for, and what was not there."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

# what was packed is asked for by itself, and its costs over a period from the index alone: its
# indexes hold no other movement
_PACKED = sa.text("order_line_id is not null")
_INDEXES = (
    ("ix_movement_order_line_id", ["order_line_id"]),
    ("ix_movement_packed", ["day", "order_line_id", "value"]),
)


def upgrade() -> None:
    """Add the columns; whatever was sent before has no packaging, and no trigger changes."""
    op.execute(
        "ALTER TABLE movement ADD COLUMN order_line_id INTEGER "
        "CONSTRAINT fk_movement_order_line_id REFERENCES order_line (id)"
    )
    op.execute("ALTER TABLE sales_order ADD COLUMN unpacked TEXT DEFAULT '' NOT NULL")
    for name, columns in _INDEXES:
        op.create_index(name, "movement", columns, sqlite_where=_PACKED, postgresql_where=_PACKED)

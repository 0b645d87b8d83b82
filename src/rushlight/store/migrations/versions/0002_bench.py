"""The bench: what a pour needs, its weighings, readings and timers."""

from __future__ import annotations

from alembic import op

from rushlight.store.dialect import guard
from rushlight.store.migrations.columns import check, create, ident, link, small, text, whole

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables of the bench."""
    create(
        "need",
        ident(),
        link("need", "pour_id", "pour"),
        text("role"),
        text("name"),
        link("need", "material_id", "material", nullable=True),
        text("measure"),
        whole("amount"),
        check("need", "amount", "amount >= 0"),
        indexes=(("pour_id",), ("material_id",)),
    )
    create(
        "weighing",
        ident(),
        link("weighing", "pour_id", "pour"),
        small("pot"),
        text("line"),
        whole("amount", nullable=True),
        text("typed"),
        text("at"),
        check("weighing", "amount", "amount >= 0"),
        indexes=(("pour_id", "pot", "line"),),
    )
    create(
        "reading",
        ident(),
        link("reading", "pour_id", "pour"),
        small("pot"),
        whole("millikelvin"),
        text("typed"),
        text("at"),
        text("retired_at", nullable=True),
        check("reading", "millikelvin", "millikelvin >= 0"),
        indexes=(("pour_id", "pot", "at"),),
    )
    create(
        "timer",
        ident(),
        link("timer", "pour_id", "pour"),
        small("pot"),
        text("name"),
        text("started_at"),
        text("deadline"),
        text("stopped_at", nullable=True),
        text("retired_at", nullable=True),
        indexes=(("pour_id", "deadline"),),
    )
    guard(op.get_bind(), appended=("weighing",), kept={})

"""The ground: materials and their ledger, candles, channels, pours, deeds."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from rushlight.store.dialect import guard
from rushlight.store.migrations.columns import (
    check,
    create,
    ident,
    link,
    small,
    text,
    unique,
    whole,
)

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    _deeds_and_settings()
    _materials()
    _candles()
    _pours()
    guard(
        op.get_bind(),
        appended=("movement",),
        kept={"revision": ("candle_id", "number", "document", "digest", "saved_at")},
    )


def _deeds_and_settings() -> None:
    create(
        "deed",
        ident(),
        text("key", nullable=True),
        text("at"),
        text("who", default=""),
        text("verb"),
        text("subject", default=""),
        text("said"),
        text("inverse"),
        text("result"),
        link("deed", "undoes", "deed", nullable=True),
        link("deed", "undone_by", "deed", nullable=True),
        unique("deed", "key"),
        indexes=(("subject", "id"),),
    )
    create("setting", sa.Column("name", sa.Text, primary_key=True), text("value"))


def _materials() -> None:
    create("supplier", ident(), text("name"), unique("supplier", "name"))
    create(
        "material",
        ident(),
        text("slug"),
        text("role"),
        text("name"),
        text("plain"),
        text("note", default=""),
        text("kind", default=""),
        text("measure"),
        text("low_typed", default=""),
        whole("low_at", nullable=True),
        text("added_at"),
        text("retired_at", nullable=True),
        unique("material", "slug"),
        check("material", "measure", "measure in ('mass', 'pieces')"),
        indexes=(("plain",), ("role", "plain")),
    )
    create(
        "fact",
        ident(),
        link("fact", "material_id", "material"),
        text("name"),
        text("value"),
        text("origin", default=""),
        text("source", default=""),
        unique("fact", "material_id", "name"),
    )
    create(
        "price",
        ident(),
        link("price", "material_id", "material"),
        link("price", "supplier_id", "supplier"),
        text("pack_typed"),
        whole("pack"),
        whole("price"),
        whole("from_packs"),
        text("since"),
        text("retired_at", nullable=True),
        check("price", "pack", "pack > 0"),
        check("price", "price", "price >= 0"),
        check("price", "from_packs", "from_packs > 0"),
        indexes=(("material_id", "since"), ("supplier_id",)),
    )


def _candles() -> None:
    create(
        "candle",
        ident(),
        text("slug"),
        text("name"),
        text("added_at"),
        text("retired_at", nullable=True),
        unique("candle", "slug"),
        indexes=(("name",),),
    )
    create(
        "revision",
        ident(),
        link("revision", "candle_id", "candle"),
        small("number"),
        text("document"),
        text("digest"),
        text("saved_at"),
        text("frozen_at", nullable=True),
        unique("revision", "candle_id", "number"),
        check("revision", "number", "number > 0"),
    )
    create(
        "channel",
        ident(),
        text("slug"),
        text("name"),
        text("kind"),
        text("typed"),
        text("retired_at", nullable=True),
        unique("channel", "slug"),
    )


def _pours() -> None:
    create(
        "pour",
        ident(),
        link("pour", "candle_id", "candle"),
        link("pour", "revision_id", "revision"),
        text("state"),
        text("planned_for"),
        text("planned_at"),
        text("started_at", nullable=True),
        text("finished_at", nullable=True),
        text("ready_on", nullable=True),
        text("document"),
        text("batch"),
        small("jars"),
        small("good", nullable=True),
        small("rejected", nullable=True),
        text("note", default=""),
        check("pour", "state", "state in ('planned', 'running', 'finished', 'abandoned')"),
        check("pour", "jars", "jars > 0"),
        indexes=(
            ("state", "planned_for"),
            ("planned_for",),
            ("candle_id", "planned_for"),
            ("state", "ready_on"),
            ("revision_id",),
        ),
    )
    create(
        "movement",
        ident(),
        link("movement", "material_id", "material"),
        whole("amount"),
        text("reason"),
        text("note", default=""),
        text("at"),
        link("movement", "pour_id", "pour", nullable=True),
        indexes=(("material_id", "amount"), ("pour_id",)),
    )

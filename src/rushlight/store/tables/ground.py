"""What a workshop is made of: deeds, settings, materials and prices, candles, channels."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Index, Integer, Text, UniqueConstraint

from rushlight.store.tables.columns import ident, link, table, text, whole

deed = table(
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
    link("undoes", "deed", nullable=True),
    link("undone_by", "deed", nullable=True),
    UniqueConstraint("key"),
    Index(None, "subject", "id"),
)

setting = table(
    "setting",
    Column("name", Text, primary_key=True),
    text("value"),
)

supplier = table("supplier", ident(), text("name"), UniqueConstraint("name"))

material = table(
    "material",
    ident(),
    text("slug"),
    text("role"),
    text("name"),
    # the name as it is searched: no database folds the case of all letters alike
    text("plain"),
    text("note", default=""),
    text("kind", default=""),
    text("measure"),
    text("low_typed", default=""),
    whole("low_at", nullable=True),
    text("added_at"),
    text("retired_at", nullable=True),
    UniqueConstraint("slug"),
    CheckConstraint("measure in ('mass', 'pieces')", name="measure"),
    Index(None, "plain"),
    Index(None, "role", "plain"),
)

fact = table(
    "fact",
    ident(),
    link("material_id", "material"),
    text("name"),
    text("value"),
    text("origin", default=""),
    text("source", default=""),
    UniqueConstraint("material_id", "name"),
)

price = table(
    "price",
    ident(),
    link("material_id", "material"),
    link("supplier_id", "supplier"),
    text("pack_typed"),
    whole("pack"),
    whole("price"),
    whole("from_packs"),
    text("since"),
    text("retired_at", nullable=True),
    CheckConstraint("pack > 0", name="pack"),
    CheckConstraint("price >= 0", name="price"),
    CheckConstraint("from_packs > 0", name="from_packs"),
    Index(None, "material_id", "since"),
    Index(None, "supplier_id"),
)

candle = table(
    "candle",
    ident(),
    text("slug"),
    text("name"),
    text("added_at"),
    text("retired_at", nullable=True),
    UniqueConstraint("slug"),
    Index(None, "name"),
)

revision = table(
    "revision",
    ident(),
    link("candle_id", "candle"),
    Column("number", Integer, nullable=False),
    text("document"),
    text("digest"),
    text("saved_at"),
    text("frozen_at", nullable=True),
    UniqueConstraint("candle_id", "number"),
    CheckConstraint("number > 0", name="number"),
)

channel = table(
    "channel",
    ident(),
    text("slug"),
    text("name"),
    text("kind"),
    text("typed"),
    text("retired_at", nullable=True),
    UniqueConstraint("slug"),
)

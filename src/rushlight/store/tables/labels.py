"""What a label rests on: sheets, certificates, their files, and weighed lots."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Index, Integer, LargeBinary

from rushlight.store.tables.columns import ident, link, table, text, whole

# A safety data sheet or certificate is a record: a newer row takes the place of an older one,
# and undoing it retires the row, so that the one before counts again.
datasheet = table(
    "datasheet",
    ident(),
    link("material_id", "material"),
    # the fields as typed; {} where the maker took the sheet away
    text("typed"),
    text("at"),
    text("retired_at", nullable=True),
    Index(None, "material_id"),
)

certificate = table(
    "certificate",
    ident(),
    link("material_id", "material"),
    text("typed"),
    text("at"),
    text("retired_at", nullable=True),
    Index(None, "material_id"),
)

attachment = table(
    "attachment",
    ident(),
    link("material_id", "material"),
    text("name"),
    text("media"),
    whole("size"),
    text("digest"),
    Column("content", LargeBinary, nullable=False),
    text("at"),
    text("retired_at", nullable=True),
    link("stock_lot_id", "stock_lot", nullable=True),
    CheckConstraint("size > 0", name="size"),
    Index(None, "material_id"),
    Index(None, "stock_lot_id"),
)

lot = table(
    "lot",
    ident(),
    link("candle_id", "candle"),
    link("pour_id", "pour", nullable=True),
    text("label_typed"),
    whole("label"),
    Column("jars", Integer, nullable=False),
    text("tare_typed", default=""),
    text("typed"),
    # 1: the jars weighed were opened for it, and cannot be sold
    Column("opened", Integer, nullable=False),
    # net masses of single jars as read, whole milligrams, a JSON list
    text("masses"),
    text("note", default=""),
    text("at"),
    CheckConstraint("label > 0", name="label"),
    CheckConstraint("jars > 0", name="jars"),
    CheckConstraint("opened in (0, 1)", name="opened"),
    Index(None, "candle_id"),
    Index(None, "pour_id"),
)

# whether a lot stands: its newest mark says so, and without one it does
lot_mark = table(
    "lot_mark",
    ident(),
    link("lot_id", "lot"),
    Column("stands", Integer, nullable=False),
    text("at"),
    CheckConstraint("stands in (0, 1)", name="stands"),
    Index(None, "lot_id"),
)

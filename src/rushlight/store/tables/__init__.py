"""The tables of a workshop.

Amounts are whole milligrams or whole pieces, money is in 1/10 000 of the currency,
temperatures are in millikelvin: integers, so that sums are exact. Moments are ISO 8601
texts in UTC, days ISO 8601 dates, documents JSON (`rushlight.store.marks`).
Nothing is deleted: what is taken out of use gets a `retired_at`.
"""

from __future__ import annotations

from typing import Final

from rushlight.store.tables.bench import need, pour, reading, timer, weighing
from rushlight.store.tables.columns import BIG, metadata
from rushlight.store.tables.ground import (
    candle,
    channel,
    deed,
    fact,
    material,
    price,
    revision,
    setting,
    supplier,
)
from rushlight.store.tables.labels import attachment, certificate, datasheet, lot, lot_mark
from rushlight.store.tables.stores import (
    buyer,
    count_line,
    delivery,
    jar_balance,
    jar_entry,
    jar_lot,
    movement,
    order_line,
    reject,
    reservation,
    sales_order,
    stock_balance,
    stock_lot,
    stocktake,
    worked,
)

__all__ = [
    "APPEND_ONLY",
    "APPLICATION_ID",
    "BIG",
    "DERIVED",
    "SCHEMA",
    "attachment",
    "buyer",
    "candle",
    "certificate",
    "channel",
    "count_line",
    "datasheet",
    "deed",
    "delivery",
    "fact",
    "jar_balance",
    "jar_entry",
    "jar_lot",
    "lot",
    "lot_mark",
    "material",
    "metadata",
    "movement",
    "need",
    "order_line",
    "pour",
    "price",
    "reading",
    "reject",
    "reservation",
    "revision",
    "sales_order",
    "setting",
    "stock_balance",
    "stock_lot",
    "stocktake",
    "supplier",
    "timer",
    "weighing",
    "worked",
]

SCHEMA: Final = 5
"""The newest schema this program knows: the number of the last migration."""

APPLICATION_ID: Final = 0x52555348
"""Marks a SQLite file as a workshop: the letters RUSH."""

APPEND_ONLY: Final = ("movement", "weighing", "lot", "lot_mark", "jar_entry")
"""Tables whose rows are never changed nor deleted; the file itself refuses it."""

DERIVED: Final = ("stock_balance", "jar_balance")
"""Tables the database keeps by itself, from others."""

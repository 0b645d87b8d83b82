"""The stores: deliveries, lots and their movements; jars, orders; counting.

Every gram and every jar that moves is a row of `movement` or `jar_entry`, with the cost that
moves along. The balances are their sums, kept by the database itself, which refuses to let
one go below zero.

What an index of some rows alone says to a server stands in the migration that makes it, not here:
naming a server would read in all that is spoken to it, at the start of every command.
"""

from __future__ import annotations

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    UniqueConstraint,
)
from sqlalchemy import (
    text as sql,
)

from rushlight.store.tables.columns import ident, link, small, table, text, whole

delivery = table(
    "delivery",
    ident(),
    link("supplier_id", "supplier"),
    text("day"),
    text("reference", default=""),
    whole("freight"),
    whole("duty"),
    text("freight_by"),
    text("duty_by"),
    text("note", default=""),
    text("at"),
    text("retired_at", nullable=True),
    CheckConstraint("freight >= 0 and duty >= 0", name="charges"),
    CheckConstraint("freight_by in ('value', 'mass')", name="freight_by"),
    CheckConstraint("duty_by in ('value', 'mass')", name="duty_by"),
    Index(None, "day"),
    Index(None, "supplier_id"),
)

# a lot of a material, as it came; costed 0: what it cost is not known, and cost is then 0
stock_lot = table(
    "stock_lot",
    ident(),
    text("code"),
    link("material_id", "material"),
    link("delivery_id", "delivery", nullable=True),
    text("supplier_lot", default=""),
    whole("amount"),
    whole("cost"),
    small("costed"),
    text("pack_typed", default=""),
    text("expires_on", nullable=True),
    text("date_kind", default=""),
    text("received_on"),
    text("note", default=""),
    text("at"),
    UniqueConstraint("code"),
    CheckConstraint("amount >= 0", name="amount"),
    CheckConstraint("cost >= 0", name="cost"),
    CheckConstraint("costed in (0, 1)", name="costed"),
    CheckConstraint("date_kind in ('', 'expiry', 'retest')", name="date_kind"),
    Index(None, "material_id", "expires_on"),
    Index(None, "delivery_id"),
    Index(None, "supplier_lot"),
    Index(None, "expires_on"),
)

# what was packed is asked for by itself, and its costs over a period from the index alone
_PACKED = sql("order_line_id is not null")

movement = table(
    "movement",
    ident(),
    link("material_id", "material"),
    link("stock_lot_id", "stock_lot"),
    whole("amount"),
    whole("value"),
    text("reason"),
    # of an entry that makes up for another: the reason of that one, so that sums by reason hold
    text("undoes", default=""),
    text("note", default=""),
    text("at"),
    text("day"),
    link("pour_id", "pour", nullable=True),
    link("stocktake_id", "stocktake", nullable=True),
    # the line of an order it was packed for
    link("order_line_id", "order_line", nullable=True),
    Index(None, "material_id", "id"),
    Index(None, "stock_lot_id"),
    Index(None, "pour_id"),
    Index(None, "stocktake_id"),
    Index(None, "day"),
    *(
        Index(name, *columns, sqlite_where=_PACKED)
        for name, columns in (
            ("ix_movement_order_line_id", ("order_line_id",)),
            ("ix_movement_packed", ("day", "order_line_id", "value")),
        )
    ),
)

# the sums of the movements by lot; the database keeps them, no program writes them
stock_balance = table(
    "stock_balance",
    Column("stock_lot_id", Integer, ForeignKey("stock_lot.id"), primary_key=True),
    link("material_id", "material"),
    whole("amount"),
    whole("value"),
    CheckConstraint("amount >= 0", name="amount"),
    Index("ix_stock_balance_in_hand", "material_id", sqlite_where=sql("amount > 0")),
)

# which lots a pour takes; it counts while the pour runs
reservation = table(
    "reservation",
    ident(),
    link("pour_id", "pour"),
    link("material_id", "material"),
    link("stock_lot_id", "stock_lot"),
    whole("amount"),
    text("at"),
    text("retired_at", nullable=True),
    CheckConstraint("amount > 0", name="amount"),
    Index(None, "pour_id"),
    Index(None, "stock_lot_id"),
)

worked = table(
    "worked",
    ident(),
    link("pour_id", "pour"),
    text("step"),
    text("person", default=""),
    text("started_at"),
    text("stopped_at", nullable=True),
    text("retired_at", nullable=True),
    Index(None, "pour_id"),
)

reject = table(
    "reject",
    ident(),
    link("pour_id", "pour"),
    text("reason"),
    small("jars"),
    text("at"),
    text("retired_at", nullable=True),
    CheckConstraint("jars > 0", name="jars"),
    Index(None, "pour_id"),
)

# the good jars of a pour; costing: every part of the cost, as JSON
jar_lot = table(
    "jar_lot",
    ident(),
    text("code"),
    link("pour_id", "pour"),
    link("candle_id", "candle"),
    text("poured_on"),
    text("ready_on"),
    small("jars"),
    whole("cost"),
    small("costed"),
    text("costing"),
    text("at"),
    text("retired_at", nullable=True),
    UniqueConstraint("code"),
    CheckConstraint("jars > 0", name="jars"),
    CheckConstraint("cost >= 0", name="cost"),
    CheckConstraint("costed in (0, 1)", name="costed"),
    Index(None, "pour_id"),
    Index(None, "candle_id", "ready_on"),
    Index(None, "ready_on"),
    Index(None, "poured_on"),
)

buyer = table(
    "buyer",
    ident(),
    text("name"),
    text("plain"),
    text("contact", default=""),
    text("note", default=""),
    text("at"),
    text("retired_at", nullable=True),
    UniqueConstraint("plain"),
)

sales_order = table(
    "sales_order",
    ident(),
    text("code"),
    link("channel_id", "channel"),
    link("buyer_id", "buyer", nullable=True),
    text("placed_on"),
    text("due_on", nullable=True),
    text("note", default=""),
    text("sent_at", nullable=True),
    text("at"),
    # cancelled, where it has one
    text("retired_at", nullable=True),
    # what it was to be packed in and the books did not have, a sentence a line
    text("unpacked", default=""),
    UniqueConstraint("code"),
    Index(None, "channel_id"),
    Index(None, "buyer_id"),
    Index(None, "placed_on"),
    Index(
        "ix_sales_order_open",
        "due_on",
        sqlite_where=sql("sent_at is null and retired_at is null"),
    ),
)

order_line = table(
    "order_line",
    ident(),
    link("sales_order_id", "sales_order"),
    link("candle_id", "candle"),
    small("jars"),
    whole("price"),
    text("at"),
    text("retired_at", nullable=True),
    CheckConstraint("jars > 0", name="jars"),
    CheckConstraint("price >= 0", name="price"),
    Index(None, "sales_order_id"),
    Index(None, "candle_id"),
)

jar_entry = table(
    "jar_entry",
    ident(),
    link("jar_lot_id", "jar_lot"),
    small("jars"),
    whole("value"),
    text("reason"),
    text("undoes", default=""),
    text("note", default=""),
    text("at"),
    text("day"),
    link("order_line_id", "order_line", nullable=True),
    link("stocktake_id", "stocktake", nullable=True),
    Index(None, "jar_lot_id"),
    Index(None, "order_line_id"),
    Index(None, "stocktake_id"),
    Index(None, "day"),
)

jar_balance = table(
    "jar_balance",
    Column("jar_lot_id", Integer, ForeignKey("jar_lot.id"), primary_key=True),
    link("candle_id", "candle"),
    small("jars"),
    whole("value"),
    CheckConstraint("jars >= 0", name="jars"),
    Index("ix_jar_balance_in_hand", "candle_id", sqlite_where=sql("jars > 0")),
)

stocktake = table(
    "stocktake",
    ident(),
    text("of"),
    text("role", default=""),
    small("blind"),
    text("state"),
    text("reason", default=""),
    text("opened_at"),
    text("booked_at", nullable=True),
    CheckConstraint("of in ('materials', 'jars', 'both')", name="of"),
    CheckConstraint("blind in (0, 1)", name="blind"),
    CheckConstraint("state in ('open', 'booked', 'abandoned')", name="state"),
    Index(None, "state"),
)

# expected: what the books held when it was booked; counted: nothing until it is counted
count_line = table(
    "count_line",
    ident(),
    link("stocktake_id", "stocktake"),
    link("stock_lot_id", "stock_lot", nullable=True),
    link("jar_lot_id", "jar_lot", nullable=True),
    whole("expected", nullable=True),
    whole("counted", nullable=True),
    text("typed", default=""),
    CheckConstraint("(stock_lot_id is null) <> (jar_lot_id is null)", name="one"),
    CheckConstraint("counted >= 0", name="counted"),
    Index(None, "stocktake_id"),
    Index(None, "stock_lot_id"),
    Index(None, "jar_lot_id"),
)

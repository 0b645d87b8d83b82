"""The stores: lots with their cost, jars, orders, stocktakes; every movement gets its lot."""

from __future__ import annotations

from datetime import date

import sqlalchemy as sa
from alembic import op

from rushlight.store.codes import jar_code, stock_code
from rushlight.store.dialect import guard, is_sqlite, keep_balance
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

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

_STOCK_LOT = (
    *("code", "material_id", "delivery_id", "supplier_lot", "amount", "cost", "costed"),
    *("pack_typed", "expires_on", "date_kind", "received_on", "note", "at"),
)
_MOVED_BY = ("stock_lot_id", "pour_id", "stocktake_id", "day")
_BEFORE = "In hand before lots were kept"


def upgrade() -> None:
    """Make the tables, and give what is in hand its first lots."""
    _lots()
    _counting()
    _movements()
    _pours()
    _orders()
    _jars()
    _guards()
    _first_jars()


def _lots() -> None:
    create(
        "delivery",
        ident(),
        link("delivery", "supplier_id", "supplier"),
        text("day"),
        text("reference", default=""),
        whole("freight"),
        whole("duty"),
        text("freight_by"),
        text("duty_by"),
        text("note", default=""),
        text("at"),
        text("retired_at", nullable=True),
        check("delivery", "charges", "freight >= 0 and duty >= 0"),
        check("delivery", "freight_by", "freight_by in ('value', 'mass')"),
        check("delivery", "duty_by", "duty_by in ('value', 'mass')"),
        indexes=(("day",), ("supplier_id",)),
    )
    create(
        "stock_lot",
        ident(),
        text("code"),
        link("stock_lot", "material_id", "material"),
        link("stock_lot", "delivery_id", "delivery", nullable=True),
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
        unique("stock_lot", "code"),
        check("stock_lot", "amount", "amount >= 0"),
        check("stock_lot", "cost", "cost >= 0"),
        check("stock_lot", "costed", "costed in (0, 1)"),
        check("stock_lot", "date_kind", "date_kind in ('', 'expiry', 'retest')"),
        indexes=(
            ("material_id", "expires_on"),
            ("delivery_id",),
            ("supplier_lot",),
            ("expires_on",),
        ),
    )
    create(
        "stock_balance",
        sa.Column(
            "stock_lot_id",
            sa.Integer,
            sa.ForeignKey("stock_lot.id", name="fk_stock_balance_stock_lot_id"),
            primary_key=True,
        ),
        link("stock_balance", "material_id", "material"),
        whole("amount"),
        whole("value"),
        check("stock_balance", "amount", "amount >= 0"),
    )
    _partial("ix_stock_balance_in_hand", "stock_balance", "material_id", "amount > 0")
    op.execute(
        "ALTER TABLE attachment ADD COLUMN stock_lot_id INTEGER "
        "CONSTRAINT fk_attachment_stock_lot_id REFERENCES stock_lot (id)"
    )
    op.create_index("ix_attachment_stock_lot_id", "attachment", ["stock_lot_id"])


def _partial(name: str, table: str, column: str, where: str) -> None:
    rule = sa.text(where)
    op.create_index(name, table, [column], sqlite_where=rule, postgresql_where=rule)


def _counting() -> None:
    create(
        "stocktake",
        ident(),
        text("of"),
        text("role", default=""),
        small("blind"),
        text("state"),
        text("reason", default=""),
        text("opened_at"),
        text("booked_at", nullable=True),
        check("stocktake", "of", "of in ('materials', 'jars', 'both')"),
        check("stocktake", "blind", "blind in (0, 1)"),
        check("stocktake", "state", "state in ('open', 'booked', 'abandoned')"),
        indexes=(("state",),),
    )


def _movements() -> None:
    """Make the ledger anew with lots and costs; what it held goes into one lot a material."""
    op.execute("CREATE TABLE movement_before AS SELECT * FROM movement")
    op.execute("DROP TABLE movement")
    if not is_sqlite(op.get_bind()):
        op.execute("DROP FUNCTION movement_refused()")
    create(
        "movement",
        ident(),
        link("movement", "material_id", "material"),
        link("movement", "stock_lot_id", "stock_lot"),
        whole("amount"),
        whole("value"),
        text("reason"),
        text("undoes", default=""),
        text("note", default=""),
        text("at"),
        text("day"),
        link("movement", "pour_id", "pour", nullable=True),
        link("movement", "stocktake_id", "stocktake", nullable=True),
        indexes=(("material_id", "id"), *((n,) for n in _MOVED_BY)),
    )
    bind = op.get_bind()
    owners = bind.execute(
        sa.text(
            "SELECT material_id, min(at) AS first FROM movement_before "
            "GROUP BY material_id ORDER BY material_id"
        )
    ).all()
    insert = sa.text(
        "INSERT INTO stock_lot (code, material_id, amount, cost, costed, received_on, note, at) "
        "SELECT :code, :owner, coalesce(sum(amount), 0), 0, 0, :day, :note, :first "
        "FROM movement_before WHERE material_id = :owner AND amount > 0"
    )
    for serial, (owner, first) in enumerate(owners, start=1):
        told = {"owner": owner, "first": first, "day": first[:10], "note": _BEFORE}
        bind.execute(insert, {"code": stock_code(serial), **told})
    op.execute(
        "INSERT INTO movement (id, material_id, stock_lot_id, amount, value, reason, undoes, note, "
        "at, day, pour_id) SELECT b.id, b.material_id, l.id, b.amount, 0, b.reason, "
        # only a pour had two kinds of movements: what it used, and what was found before
        "CASE WHEN b.reason <> 'undone' OR b.pour_id IS NULL THEN '' "
        "WHEN b.amount > 0 THEN 'used' ELSE 'counted' END, b.note, b.at, "
        "substr(b.at, 1, 10), b.pour_id FROM movement_before b "
        "JOIN stock_lot l ON l.material_id = b.material_id ORDER BY b.id"
    )
    op.execute("DROP TABLE movement_before")
    op.execute(
        "INSERT INTO stock_balance (stock_lot_id, material_id, amount, value) "
        "SELECT stock_lot_id, material_id, sum(amount), 0 FROM movement "
        "GROUP BY stock_lot_id, material_id"
    )
    if not is_sqlite(bind):
        op.execute(
            "SELECT setval(pg_get_serial_sequence('movement', 'id'), "
            "(SELECT coalesce(max(id), 0) + 1 FROM movement), false)"
        )


def _pours() -> None:
    op.execute("ALTER TABLE pour ADD COLUMN person TEXT DEFAULT '' NOT NULL")
    op.create_index(
        "ix_pour_candle_id_state_finished_at", "pour", ["candle_id", "state", "finished_at"]
    )
    create(
        "reservation",
        ident(),
        link("reservation", "pour_id", "pour"),
        link("reservation", "material_id", "material"),
        link("reservation", "stock_lot_id", "stock_lot"),
        whole("amount"),
        text("at"),
        text("retired_at", nullable=True),
        check("reservation", "amount", "amount > 0"),
        indexes=(("pour_id",), ("stock_lot_id",)),
    )
    create(
        "worked",
        ident(),
        link("worked", "pour_id", "pour"),
        text("step"),
        text("person", default=""),
        text("started_at"),
        text("stopped_at", nullable=True),
        text("retired_at", nullable=True),
        indexes=(("pour_id",),),
    )
    create(
        "reject",
        ident(),
        link("reject", "pour_id", "pour"),
        text("reason"),
        small("jars"),
        text("at"),
        text("retired_at", nullable=True),
        check("reject", "jars", "jars > 0"),
        indexes=(("pour_id",),),
    )


def _orders() -> None:
    create(
        "buyer",
        ident(),
        text("name"),
        text("plain"),
        text("contact", default=""),
        text("note", default=""),
        text("at"),
        text("retired_at", nullable=True),
        unique("buyer", "plain"),
    )
    create(
        "sales_order",
        ident(),
        text("code"),
        link("sales_order", "channel_id", "channel"),
        link("sales_order", "buyer_id", "buyer", nullable=True),
        text("placed_on"),
        text("due_on", nullable=True),
        text("note", default=""),
        text("sent_at", nullable=True),
        text("at"),
        text("retired_at", nullable=True),
        unique("sales_order", "code"),
        indexes=(("channel_id",), ("buyer_id",), ("placed_on",)),
    )
    _partial(
        "ix_sales_order_open", "sales_order", "due_on", "sent_at is null and retired_at is null"
    )
    create(
        "order_line",
        ident(),
        link("order_line", "sales_order_id", "sales_order"),
        link("order_line", "candle_id", "candle"),
        small("jars"),
        whole("price"),
        text("at"),
        text("retired_at", nullable=True),
        check("order_line", "jars", "jars > 0"),
        check("order_line", "price", "price >= 0"),
        indexes=(("sales_order_id",), ("candle_id",)),
    )


def _jars() -> None:
    create(
        "jar_lot",
        ident(),
        text("code"),
        link("jar_lot", "pour_id", "pour"),
        link("jar_lot", "candle_id", "candle"),
        text("poured_on"),
        text("ready_on"),
        small("jars"),
        whole("cost"),
        small("costed"),
        text("costing"),
        text("at"),
        text("retired_at", nullable=True),
        unique("jar_lot", "code"),
        check("jar_lot", "jars", "jars > 0"),
        check("jar_lot", "cost", "cost >= 0"),
        check("jar_lot", "costed", "costed in (0, 1)"),
        indexes=(("pour_id",), ("candle_id", "ready_on"), ("ready_on",), ("poured_on",)),
    )
    create(
        "jar_balance",
        sa.Column(
            "jar_lot_id",
            sa.Integer,
            sa.ForeignKey("jar_lot.id", name="fk_jar_balance_jar_lot_id"),
            primary_key=True,
        ),
        link("jar_balance", "candle_id", "candle"),
        small("jars"),
        whole("value"),
        check("jar_balance", "jars", "jars >= 0"),
    )
    _partial("ix_jar_balance_in_hand", "jar_balance", "candle_id", "jars > 0")
    create(
        "jar_entry",
        ident(),
        link("jar_entry", "jar_lot_id", "jar_lot"),
        small("jars"),
        whole("value"),
        text("reason"),
        text("undoes", default=""),
        text("note", default=""),
        text("at"),
        text("day"),
        link("jar_entry", "order_line_id", "order_line", nullable=True),
        link("jar_entry", "stocktake_id", "stocktake", nullable=True),
        indexes=(("jar_lot_id",), ("order_line_id",), ("stocktake_id",), ("day",)),
    )
    create(
        "count_line",
        ident(),
        link("count_line", "stocktake_id", "stocktake"),
        link("count_line", "stock_lot_id", "stock_lot", nullable=True),
        link("count_line", "jar_lot_id", "jar_lot", nullable=True),
        whole("expected", nullable=True),
        whole("counted", nullable=True),
        text("typed", default=""),
        check("count_line", "one", "(stock_lot_id is null) <> (jar_lot_id is null)"),
        check("count_line", "counted", "counted >= 0"),
        indexes=(("stocktake_id",), ("stock_lot_id",), ("jar_lot_id",)),
    )


def _guards() -> None:
    bind = op.get_bind()
    guard(bind, appended=("movement", "jar_entry"), kept={"stock_lot": _STOCK_LOT})
    keep_balance(
        bind,
        of="movement",
        kept="stock_balance",
        lot="stock_lot_id",
        owner="NEW.material_id",
        owned="material_id",
        sums=("amount", "value"),
    )
    keep_balance(
        bind,
        of="jar_entry",
        kept="jar_balance",
        lot="jar_lot_id",
        owner="(SELECT candle_id FROM jar_lot WHERE id = NEW.jar_lot_id)",
        owned="candle_id",
        sums=("jars", "value"),
    )


def _first_jars() -> None:
    """Give the good jars of every finished pour a code; what they cost is not known."""
    bind = op.get_bind()
    rows = bind.execute(
        sa.text(
            "SELECT id, candle_id, good, finished_at, ready_on FROM pour "
            "WHERE state = 'finished' AND good > 0 ORDER BY finished_at, id"
        )
    ).all()
    lot = sa.text(
        "INSERT INTO jar_lot (code, pour_id, candle_id, poured_on, ready_on, jars, cost, costed, "
        "costing, at) VALUES (:code, :pour, :candle, :day, :ready, :jars, 0, 0, '{}', :at)"
    )
    entry = sa.text(
        "INSERT INTO jar_entry (jar_lot_id, jars, value, reason, note, at, day) "
        "SELECT id, jars, 0, 'poured', :note, at, poured_on FROM jar_lot ORDER BY id"
    )
    seen: dict[str, int] = {}
    for pour, candle, good, finished, ready in rows:
        day = finished[:10]
        seen[day] = seen.get(day, 0) + 1
        code = jar_code(date.fromisoformat(day), seen[day])
        told = {"code": code, "pour": pour, "candle": candle, "day": day, "jars": good}
        bind.execute(lot, {**told, "ready": ready or day, "at": finished})
    if rows:
        bind.execute(entry, {"note": "Poured before jars were counted; count what is left"})

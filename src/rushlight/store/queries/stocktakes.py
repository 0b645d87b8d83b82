"""Reading stocktakes: what there is to count, what was counted, beside what the books hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, RowMapping, Select, case, func, literal, select

from rushlight.store.queries.stock import COST, COSTED, first_expiring
from rushlight.store.tables import (
    candle,
    count_line,
    delivery,
    jar_balance,
    jar_entry,
    jar_lot,
    material,
    movement,
    stock_balance,
    stock_lot,
    stocktake,
)


def stock_in_hand(connection: Connection, role: str) -> list[int]:
    """Return the lots in hand, of materials of a role or (role "") of all, as they stand."""
    query = (
        select(stock_lot.c.id)
        .join(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .join(material, material.c.id == stock_lot.c.material_id)
        .where(stock_balance.c.amount > 0)
        .order_by(material.c.role, material.c.plain)
    )
    if role:
        query = query.where(material.c.role == role)
    return list(connection.execute(first_expiring(query)).scalars())


def jars_in_hand(connection: Connection) -> list[int]:
    """Return the lots of jars in hand, by candle, the oldest cure first."""
    query = (
        select(jar_lot.c.id)
        .join(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .where(jar_balance.c.jars > 0)
        .order_by(candle.c.name, jar_lot.c.ready_on, jar_lot.c.id)
    )
    return list(connection.execute(query).scalars())


def _stocktakes() -> Select[Any]:
    of_it = count_line.c.stocktake_id == stocktake.c.id
    lines = select(func.count()).where(of_it).correlate(stocktake).scalar_subquery()
    counted = (
        select(func.count(count_line.c.counted)).where(of_it).correlate(stocktake).scalar_subquery()
    )
    return select(stocktake, lines.label("lines"), counted.label("counted"))


def stocktakes(connection: Connection, limit: int) -> Sequence[RowMapping]:
    """Return the latest stocktakes, newest first."""
    query = _stocktakes().order_by(stocktake.c.id.desc()).limit(limit)
    return connection.execute(query).mappings().all()


def stocktake_row(connection: Connection, number: int) -> RowMapping | None:
    """Return one stocktake."""
    query = _stocktakes().where(stocktake.c.id == number)
    return connection.execute(query).mappings().first()


def lines(connection: Connection, number: int) -> Sequence[RowMapping]:
    """Return the lines of a stocktake, each with its lot and what the books hold of it now."""
    query = (
        select(
            count_line,
            func.coalesce(stock_lot.c.code, jar_lot.c.code).label("code"),
            func.coalesce(material.c.name, candle.c.name).label("name"),
            func.coalesce(material.c.role, "jars").label("role"),
            func.coalesce(material.c.measure, "pieces").label("measure"),
            func.coalesce(stock_lot.c.supplier_lot, "").label("supplier_lot"),
            func.coalesce(stock_balance.c.amount, jar_balance.c.jars, 0).label("left"),
            func.coalesce(stock_balance.c.value, jar_balance.c.value, 0).label("worth"),
            func.coalesce(stock_lot.c.amount, jar_lot.c.jars).label("came"),
            case((jar_lot.c.id.is_(None), COST), else_=jar_lot.c.cost).label("cost"),
            case((jar_lot.c.id.is_(None), COSTED), else_=jar_lot.c.costed).label("costed"),
            func.coalesce(delivery.c.retired_at, jar_lot.c.retired_at).label("undone_at"),
        )
        .outerjoin(stock_lot, stock_lot.c.id == count_line.c.stock_lot_id)
        .outerjoin(material, material.c.id == stock_lot.c.material_id)
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .outerjoin(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .outerjoin(jar_lot, jar_lot.c.id == count_line.c.jar_lot_id)
        .outerjoin(candle, candle.c.id == jar_lot.c.candle_id)
        .outerjoin(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
        .where(count_line.c.stocktake_id == number)
        .order_by(count_line.c.id)
    )
    return connection.execute(query).mappings().all()


def booked(connection: Connection, number: int) -> dict[tuple[int | None, int | None], int]:
    """Return what was booked by a stocktake [1/10 000], by lot: (of a material, of jars)."""
    found: dict[tuple[int | None, int | None], int] = {}
    for ledger, lot in ((movement, "stock_lot_id"), (jar_entry, "jar_lot_id")):
        query = (
            select(ledger.c[lot], func.sum(ledger.c.value))
            .where(ledger.c.stocktake_id == number)
            .group_by(ledger.c[lot])
        )
        for owner, value in connection.execute(query):
            found[(owner, None) if ledger is movement else (None, owner)] = int(value)
    return found


def found_stock(connection: Connection, code: str) -> RowMapping | None:
    """Return a lot of a material by its code, for a count."""
    query = (
        select(
            stock_lot.c.id,
            stock_lot.c.code,
            material.c.name,
            material.c.role,
            material.c.measure,
            func.coalesce(stock_balance.c.amount, 0).label("left"),
            delivery.c.retired_at.label("undone_at"),
        )
        .join(material, material.c.id == stock_lot.c.material_id)
        .outerjoin(delivery, delivery.c.id == stock_lot.c.delivery_id)
        .outerjoin(stock_balance, stock_balance.c.stock_lot_id == stock_lot.c.id)
        .where(stock_lot.c.code == code)
    )
    return connection.execute(query).mappings().first()


def found_jars(connection: Connection, code: str) -> RowMapping | None:
    """Return a lot of jars by its code, for a count."""
    query = (
        select(
            jar_lot.c.id,
            jar_lot.c.code,
            candle.c.name,
            literal("jars").label("role"),
            literal("pieces").label("measure"),
            func.coalesce(jar_balance.c.jars, 0).label("left"),
            jar_lot.c.retired_at.label("undone_at"),
        )
        .join(candle, candle.c.id == jar_lot.c.candle_id)
        .outerjoin(jar_balance, jar_balance.c.jar_lot_id == jar_lot.c.id)
        .where(jar_lot.c.code == code)
    )
    return connection.execute(query).mappings().first()

"""Reading what the stores were worth at a day.

A day is a text as the ledger keeps it; None stands for everything there is, which the sums the
database keeps answer at once.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import Connection, RowMapping, Select, func, select

from rushlight.store.tables import (
    candle,
    jar_balance,
    jar_entry,
    jar_lot,
    material,
    movement,
    stock_lot,
)

_AT_ONCE = 1000  # numbers named in one statement
_FEW = 50  # materials that are looked up one by one


def last_days(connection: Connection) -> tuple[str, str]:
    """Return the last day something moved: of the materials, and of the jars."""
    moved = connection.execute(select(func.max(movement.c.day))).scalar()
    went = connection.execute(select(func.max(jar_entry.c.day))).scalar()
    return moved or "", went or ""


def marks(connection: Connection) -> dict[int, tuple[int, int]]:
    """Return, by material, what tells whether anything was added to its movements.

    The ledger is only ever added to: the last number and how many there are say it all.
    """
    query = select(movement.c.material_id, func.max(movement.c.id), func.count())
    rows = connection.execute(query.group_by(movement.c.material_id))
    return {int(owner): (int(last), int(count)) for owner, last, count in rows}


def moves(connection: Connection, owners: Collection[int], until: str | None) -> Sequence[Any]:
    """Return the movements of some materials or more, by material and in order of their days.

    Each: number, lot, amount, value, reason, undoes, pour, stocktake, material; and last the
    line of an order it was packed for.
    """
    query = select(
        movement.c.id,
        movement.c.stock_lot_id,
        movement.c.amount,
        movement.c.value,
        movement.c.reason,
        movement.c.undoes,
        movement.c.pour_id,
        movement.c.stocktake_id,
        movement.c.material_id,
        movement.c.order_line_id,
    ).order_by(movement.c.material_id, movement.c.day, movement.c.id)
    if len(owners) <= _FEW:  # of more, one walk through all is sooner done
        query = query.where(movement.c.material_id.in_(owners))
    if until is not None:
        query = query.where(movement.c.day <= until)
    return connection.execute(query).all()


def came_without_cost(connection: Connection) -> frozenset[int]:
    """Return the lots that came without a cost, whether or not one was entered since."""
    query = select(stock_lot.c.id).where(stock_lot.c.costed == 0)
    return frozenset(connection.execute(query).scalars())


def material_names(connection: Connection) -> dict[int, RowMapping]:
    """Return every material by its number, also those out of use."""
    columns = (material.c.id, material.c.slug, material.c.name, material.c.role, material.c.measure)
    return {row["id"]: row for row in connection.execute(select(*columns)).mappings()}


def lot_names(connection: Connection, lots: Collection[int]) -> dict[int, RowMapping]:
    """Return some lots by their number."""
    columns = (stock_lot.c.id, stock_lot.c.code, stock_lot.c.supplier_lot, stock_lot.c.received_on)
    numbers = sorted(lots)
    found: dict[int, RowMapping] = {}
    for first in range(0, len(numbers), _AT_ONCE):
        query = select(*columns).where(stock_lot.c.id.in_(numbers[first : first + _AT_ONCE]))
        found |= {row["id"]: row for row in connection.execute(query).mappings()}
    return found


def jars_held(connection: Connection, until: str | None) -> Sequence[RowMapping]:
    """Return the lots of jars of which some were in hand: candle, jars and what they were worth."""
    columns = (jar_lot.c.id, jar_lot.c.code, jar_lot.c.costed, jar_lot.c.candle_id)
    named: tuple[Any, ...] = (*columns, candle.c.slug, candle.c.name)
    query: Select[Any] = (
        select(*named, jar_balance.c.jars, jar_balance.c.value)
        .join(jar_lot, jar_lot.c.id == jar_balance.c.jar_lot_id)
        .where(jar_balance.c.jars > 0)
    )
    if until is not None:
        sums = (
            select(
                jar_entry.c.jar_lot_id,
                func.sum(jar_entry.c.jars).label("jars"),
                func.sum(jar_entry.c.value).label("value"),
            )
            .where(jar_entry.c.day <= until)
            .group_by(jar_entry.c.jar_lot_id)
            .having(func.sum(jar_entry.c.jars) != 0)
            .subquery()
        )
        query = select(*named, sums.c.jars, sums.c.value).join(
            jar_lot, jar_lot.c.id == sums.c.jar_lot_id
        )
    query = query.join(candle, candle.c.id == jar_lot.c.candle_id)
    return connection.execute(query.order_by(candle.c.name, jar_lot.c.id)).mappings().all()

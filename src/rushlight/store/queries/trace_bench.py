"""What happened at the bench to some pours: readings, weighings, work, rejects, wrong counts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, RowMapping, func, select

from rushlight.store.queries.trace import Scope
from rushlight.store.queries.why import why
from rushlight.store.tables import (
    material,
    movement,
    reading,
    reject,
    stock_lot,
    weighing,
    worked,
)


def readings(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return the readings of the thermometer, in order of time."""
    return _of(connection, scope, reading, reading.c.at)


def work(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return the times worked, in order of time."""
    return _of(connection, scope, worked, worked.c.started_at)


def rejects(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return the jars rejected, as they were noted."""
    return _of(connection, scope, reject, reject.c.pour_id)


def _of(connection: Connection, scope: Scope, table: Any, order: Any) -> Sequence[RowMapping]:
    query = select(table).where(table.c.pour_id.in_(scope.pours), table.c.retired_at.is_(None))
    return connection.execute(query.order_by(order, table.c.id)).mappings().all()


def weighings(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return the last weighing of each line of each pot, those taken back left out."""
    last = (
        select(func.max(weighing.c.id))
        .where(weighing.c.pour_id.in_(scope.pours))
        .group_by(weighing.c.pour_id, weighing.c.pot, weighing.c.line)
    )
    query = select(weighing).where(weighing.c.id.in_(last), weighing.c.amount.is_not(None))
    order = (weighing.c.pour_id, weighing.c.pot, weighing.c.id)
    return connection.execute(query.order_by(*order)).mappings().all()


def found_at(connection: Connection, scope: Scope) -> Sequence[RowMapping]:
    """Return what pours used that no lot had: the lot it was counted to, and how much."""
    query = (
        select(
            movement.c.pour_id,
            movement.c.stock_lot_id,
            stock_lot.c.code,
            material.c.name,
            func.sum(movement.c.amount).label("amount"),
        )
        .join(stock_lot, stock_lot.c.id == movement.c.stock_lot_id)
        .join(material, material.c.id == movement.c.material_id)
        .where(movement.c.pour_id.in_(scope.pours), why(movement) == "counted")
        .group_by(movement.c.pour_id, movement.c.stock_lot_id, stock_lot.c.code, material.c.name)
        .having(func.sum(movement.c.amount) > 0)
        .order_by(movement.c.pour_id, movement.c.stock_lot_id)
    )
    return connection.execute(query).mappings().all()

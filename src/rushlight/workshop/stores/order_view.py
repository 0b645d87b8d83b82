"""Rows of orders as they are shown."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from rushlight.errors import NotFound
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.codes import check
from rushlight.workshop.stores.views import (
    LinePicked,
    OrderItem,
    OrderLine,
    OrderState,
    OrderView,
    PackedIn,
)

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping


def state_of(row: RowMapping, *, jars: int, picked: int) -> OrderState:
    """Return how far an order is."""
    if row["retired_at"] is not None:
        return OrderState.CANCELLED
    if row["sent_at"] is not None:
        return OrderState.SENT
    return OrderState.PICKED if 0 < jars <= picked else OrderState.OPEN


def order_line(row: RowMapping, sums: tuple[int, int, int]) -> OrderLine:
    """Return an order in a list. sums: jars, takings [1/10 000], jars picked."""
    jars, takings, picked = sums
    return OrderLine(
        code=row["code"],
        state=state_of(row, jars=jars, picked=picked),
        channel=row["channel"],
        buyer=row["buyer"],
        placed_on=date.fromisoformat(row["placed_on"]),
        due_on=date.fromisoformat(row["due_on"]) if row["due_on"] else None,
        jars=jars,
        picked=picked,
        takings=money(takings),
    )


def existing(connection: Connection, code: str) -> RowMapping:
    """Return the row of an order, its code as typed; BadInput, NotFound."""
    from rushlight.store.queries.orders import order_row

    row = order_row(connection, check(code))
    if row is None:
        raise NotFound(f"There is no order {check(code)} in this workshop.")
    return row


def view_within(shop: Workshop, connection: Connection, code: str) -> OrderView:
    """Return an order within a reading; BadInput, NotFound."""
    from rushlight.store.marks import moment
    from rushlight.store.queries import orders as query
    from rushlight.store.queries.packed import packed_in

    row = existing(connection, code)
    picked: dict[int, list[LinePicked]] = {}
    for pick in query.picked(connection, row["id"]):
        taken = LinePicked(lot=pick["code"], jars=int(pick["jars"]))
        picked.setdefault(pick["order_line_id"], []).append(taken)
    items = tuple(
        OrderItem(
            id=line["id"],
            candle=line["slug"],
            name=line["name"],
            jars=line["jars"],
            price=money(line["price"]),
            picked=tuple(picked.get(line["id"], ())),
        )
        for line in query.lines(connection, row["id"])
    )
    return OrderView(
        line=order_line(row, query.totals(connection, [row["id"]])[row["id"]]),
        channel=row["channel_slug"],
        contact=row["contact"],
        note=row["note"],
        items=items,
        sent_at=shop.local(moment(row["sent_at"])) if row["sent_at"] else None,
        packed=tuple(
            PackedIn(
                material=lot["slug"], name=lot["name"], lot=lot["code"], pieces=int(lot["pieces"])
            )
            for lot in packed_in(connection, row["id"])
        ),
        unpacked=tuple(row["unpacked"].splitlines()),
    )

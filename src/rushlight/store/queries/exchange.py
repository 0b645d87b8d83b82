"""Reading whether something that comes in from a list is there already."""

from __future__ import annotations

from sqlalchemy import Connection, or_, select

from rushlight.store.marks import plain
from rushlight.store.tables import delivery, sales_order, supplier


def same_delivery(connection: Connection, sender: str, day: str, reference: str) -> bool:
    """Whether a delivery of a supplier, day and reference is booked, whatever the case."""
    query = (
        select(supplier.c.name, delivery.c.reference)
        .join(supplier, supplier.c.id == delivery.c.supplier_id)
        .where(delivery.c.day == day, delivery.c.retired_at.is_(None))
    )
    wanted = (plain(sender), plain(reference))
    return any((plain(n), plain(r)) == wanted for n, r in connection.execute(query))


def same_order(connection: Connection, label: str) -> bool:
    """Whether an order that begins its note with a label, as a line of its own, is entered."""
    note = sales_order.c.note
    begins = note.startswith(label + "\n", autoescape=True)
    query = select(sales_order.c.id).where(
        or_(note == label, begins), sales_order.c.retired_at.is_(None)
    )
    return connection.execute(query.limit(1)).first() is not None

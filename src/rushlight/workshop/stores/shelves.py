"""The stores at a glance: what is low, what expires, what cures, what is ready, what is due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from rushlight.workshop.material_views import MaterialLine
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.views import ExpiringLot, JarLotLine, OrderLine

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

SOON: Final = timedelta(days=60)
"""A lot whose date comes within this is shown."""
WEEK: Final = timedelta(days=6)
"""Today and the six days after it."""
MOST: Final = 100
"""At most so many expiring lots and open orders are shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyJars:
    """The jars of a candle that are out of cure and in hand.

    since: when the first of them came out of cure. worth: of those whose cost is known;
    uncosted: jars of which it is not.
    """

    candle: str  # slug
    name: str
    jars: int
    lots: int
    since: date
    worth: Decimal
    uncosted: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelves:
    """The stores at a glance, on a day.

    low: materials that are low, or short for what is planned. expiring: lots in hand whose
    date is past or comes within 60 days, the earliest first, at most 100. this_week: jar lots
    out of cure today or in the six days after. curing: those out of cure later. ready: jars
    out of cure by candle (those of today are in `this_week` too). orders: still to be sent,
    the soonest due first, so those that are late lead; at most 100 of the `open_orders`.
    materials_worth, jars_worth: of what is in hand and of known cost; materials_uncosted: lots,
    jars_uncosted: jars whose cost is not known.
    """

    day: date
    low: tuple[MaterialLine, ...]
    expiring: tuple[ExpiringLot, ...]
    this_week: tuple[JarLotLine, ...]
    curing: tuple[JarLotLine, ...]
    ready: tuple[ReadyJars, ...]
    orders: tuple[OrderLine, ...]
    open_orders: int
    materials_worth: Decimal
    materials_uncosted: int
    jars_worth: Decimal
    jars_uncosted: int

    @property
    def late(self) -> tuple[OrderLine, ...]:
        """The orders that are past due."""
        return tuple(o for o in self.orders if o.due_on is not None and o.due_on < self.day)


def shelves(shop: Workshop) -> Shelves:
    """Return the stores at a glance, on the day at the bench."""
    from rushlight.store.queries import orders, stock
    from rushlight.store.queries import shelves as query
    from rushlight.workshop.materials import lacking
    from rushlight.workshop.stores.jars import line_of
    from rushlight.workshop.stores.order_view import order_line

    day = shop.today()
    with shop.store.reading() as connection:
        low = lacking(shop, connection)
        held = stock.reserved(connection)
        dated = stock.expiring(connection, day + SOON, MOST)
        curing = [line_of(row, day) for row in query.curing(connection, day)]
        ready = query.ready(connection, day)
        due = orders.not_sent(connection)
        sums = orders.totals(connection, [row["id"] for row in due[:MOST]])
        worth, uncosted = stock.worth(connection)
        jars_worth, jars_uncosted = query.worth(connection)
    return Shelves(
        day=day,
        low=low,
        expiring=tuple(_expiring(row, held, day) for row in dated),
        this_week=tuple(line for line in curing if line.ready_on <= day + WEEK),
        curing=tuple(line for line in curing if line.ready_on > day + WEEK),
        ready=tuple(_ready(row) for row in ready),
        orders=tuple(order_line(row, sums[row["id"]]) for row in due[:MOST]),
        open_orders=len(due),
        materials_worth=money(worth),
        materials_uncosted=uncosted,
        jars_worth=money(jars_worth),
        jars_uncosted=jars_uncosted,
    )


def _expiring(row: RowMapping, held: dict[int, int], day: date) -> ExpiringLot:
    from rushlight.workshop.stores.lot_rows import line_of

    days = (date.fromisoformat(row["expires_on"]) - day).days
    return ExpiringLot(lot=line_of(row, held), days=days)


def _ready(row: RowMapping) -> ReadyJars:
    return ReadyJars(
        candle=row["slug"],
        name=row["name"],
        jars=int(row["jars"]),
        lots=int(row["lots"]),
        since=date.fromisoformat(row["since"]),
        worth=money(int(row["worth"])),
        uncosted=int(row["uncosted"]),
    )

"""Orders: written down, picked by the oldest cured jars, sent, or sold over the counter.

An order is open until every jar of it is picked, then picked, then sent; or it is cancelled.
None of that is written anywhere: it follows from what was picked, and from two dates.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, Problems, Refused
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.buyers import BuyerLine, buyer_of, buyers, save_buyer
from rushlight.workshop.stores.catalogue import Catalogue
from rushlight.workshop.stores.order_form import OrderRead, read_order
from rushlight.workshop.stores.order_view import existing, order_line, view_within
from rushlight.workshop.stores.picking import about, pick, proposal, put_back, unpick
from rushlight.workshop.stores.selling import sell, send
from rushlight.workshop.stores.views import OrderLine, OrderState, OrderView

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.store.deeds import Work

__all__ = [
    "BuyerLine",
    "Catalogue",
    "Saved",
    "buyers",
    "cancel",
    "get",
    "listing",
    "pick",
    "proposal",
    "save",
    "save_buyer",
    "save_within",
    "sell",
    "send",
    "unpick",
]

_WHEN_SENT: Final = frozenset({"buyer", "contact", "note"})
"""What of an order may still be put right when it is sent."""


@dataclass(frozen=True, slots=True)
class Saved:
    """An order that was saved within a deed; said: what was done, as one line."""

    code: str
    said: str


def save(
    shop: Workshop, code: str | None, typed: Mapping[str, str], *, key: str | None = None
) -> OrderView:
    """Write down an order, or change one.

    typed: channel, buyer, contact (kept with the buyer), placed, due, note; lines.N.candle,
    lines.N.jars, lines.N.price (the price asked in the channel where it is empty) and, to
    change a line, lines.N.id. Of an order that is changed, what is not named stays as it is;
    where any line is named, the lines not named are taken out. Once sent, only its buyer,
    contact and note can be put right.
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "order.save", at=shop.now(), key=key) as work:
        if work.first is None:
            saved = save_within(shop, work, code, typed)
            about(work, saved.code, saved.said)
        return view_within(shop, work.connection, work.outcome()["order"])


def save_within(
    shop: Workshop,
    work: Work,
    code: str | None,
    typed: Mapping[str, str],
    *,
    catalogue: Catalogue | None = None,
) -> Saved:
    """Write down an order within a deed, as `save`; the caller says what the deed was.

    catalogue: shared by many orders saved in one deed.
    """
    from rushlight.store.queries.orders import lines as rows
    from rushlight.store.queries.others import settings

    connection = work.connection
    row = None if code is None else _open_row(existing(connection, code), typed)
    lines = () if row is None else rows(connection, row["id"])
    read = read_order(
        typed,
        catalogue or Catalogue(shop, connection),
        currency=settings(connection).get("currency", "GBP"),
        today=shop.today(),
        row=row,
        lines=lines,
    )
    number, made = _head(work, row, read)
    if read.lines is not None:
        _write_lines(work, number, read, lines)
    jars = sum(line.jars for line in read.lines or ())
    who = f" for {read.buyer}" if read.buyer else ""
    what = f"{jars} jars{who}" if read.lines is not None else f"its head{who}"
    return Saved(made, f"Order {made}: {what}." if row is None else f"Changed {made}: {what}.")


def _open_row(row: RowMapping, typed: Mapping[str, str]) -> RowMapping:
    if row["retired_at"] is not None:
        raise Refused(f"Order {row['code']} is cancelled. Write a new one.")
    if row["sent_at"] is not None and not typed.keys() <= _WHEN_SENT:
        raise Refused(
            f"Order {row['code']} was sent: its lines stand. Take jars back from their lot, or "
            "undo the sending."
        )
    return row


def _head(work: Work, row: RowMapping | None, read: OrderRead) -> tuple[int, str]:
    from rushlight.store.codes import order_code
    from rushlight.store.marks import stamp
    from rushlight.store.queries.orders import next_order

    values = {
        "channel_id": read.channel,
        "buyer_id": buyer_of(work, read.buyer, read.contact),
        "placed_on": read.placed.isoformat(),
        "due_on": read.due.isoformat() if read.due else None,
        "note": read.note,
    }
    if row is not None:
        changed = {name: value for name, value in values.items() if value != row[name]}
        if changed:
            work.change("sales_order", row["id"], **changed)
        return int(row["id"]), str(row["code"])
    code = order_code(next_order(work.connection))
    return work.add("sales_order", code=code, at=stamp(work.at), **values), code


def _write_lines(work: Work, number: int, read: OrderRead, stand: Sequence[RowMapping]) -> None:
    """Write the lines; none falls below what was picked for it."""
    from rushlight.store.marks import stamp
    from rushlight.store.queries.orders import picked_by_line

    taken = picked_by_line(work.connection, number)
    at, problems = stamp(work.at), Problems()
    before = {int(line["id"]): line for line in stand}
    for line in read.lines or ():
        if line.number is None:
            values = {"candle_id": line.candle["id"], "jars": line.jars, "price": line.price}
            work.add("order_line", sales_order_id=number, at=at, **values)
            continue
        was = before.pop(line.number)
        if line.jars < taken.get(line.number, 0):
            what = f"{taken[line.number]} jars are picked for this line already."
            problems.add(f"{line.place}.jars", what, "Put some back first, or leave so many.")
        changed = {n: v for n, v in (("jars", line.jars), ("price", line.price)) if v != was[n]}
        if changed:
            work.change("order_line", line.number, **changed)
    for gone, old in before.items():
        if gone in taken:
            what = f"{taken[gone]} jars of {old['name']} are picked for a line left out."
            problems.add("lines", what, "Put them back first, or leave the line.")
        work.change("order_line", gone, retired_at=at)
    problems.check()


def cancel(shop: Workshop, code: str, *, key: str | None = None) -> OrderView:
    """Cancel an order; what was picked for it goes back to its lots. Refused once sent."""
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "order.cancel", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, code)
            if row["retired_at"] is not None:
                raise Refused(f"Order {row['code']} is cancelled already.")
            if row["sent_at"] is not None:
                raise Refused(
                    f"Order {row['code']} was sent. Take the jars that came back into their lot."
                )
            back = put_back(work, row)
            work.change("sales_order", row["id"], retired_at=stamp(work.at))
            also = f" {back} jars went back to their lots." if back else ""
            about(work, row["code"], f"Cancelled order {row['code']}.{also}")
        return view_within(shop, work.connection, work.outcome()["order"])


def get(shop: Workshop, code: str) -> OrderView:
    """Return an order, its code as typed; BadInput where the code has a slip, NotFound."""
    with shop.store.reading() as connection:
        return view_within(shop, connection, code)


def listing(
    shop: Workshop,
    *,
    state: OrderState | str | None = None,
    buyer: str | None = None,
    limit: int = 200,
) -> tuple[OrderLine, ...]:
    """Return orders: those not sent by the day they are due, all others the newest first.

    buyer: the orders of one buyer, by name, whatever has become of them.
    """
    from rushlight.store.queries import orders as query

    try:
        wanted = None if state is None else OrderState(state)
    except ValueError:
        names = ", ".join(OrderState)
        raise BadInput.one(
            f"“{str(state)[:40]}” is no state of an order.", f"Choose from {names}.", "state"
        ) from None
    with shop.store.reading() as connection:
        if buyer is not None:
            rows = query.newest(connection, of=buyer, limit=limit)
        elif wanted in (OrderState.OPEN, OrderState.PICKED):
            rows = query.not_sent(connection)
        elif wanted is None:
            rows = query.newest(connection, limit=limit)
        else:
            cancelled = wanted is OrderState.CANCELLED
            sent = None if cancelled else True
            rows = query.newest(connection, sent=sent, cancelled=cancelled, limit=limit)
        sums = query.totals(connection, [row["id"] for row in rows])
    lines = (order_line(row, sums[row["id"]]) for row in rows)
    return tuple(line for line in lines if wanted is None or line.state is wanted)[:limit]

"""Sending an order, and selling over the counter: an order picked and sent at once.

What the jars are packed in leaves the stores here, and not when they are picked: `packing`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, Refused
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.buyers import buyer_of
from rushlight.workshop.stores.catalogue import Catalogue
from rushlight.workshop.stores.codes import check
from rushlight.workshop.stores.order_form import jars_read, price_read
from rushlight.workshop.stores.order_view import existing, view_within
from rushlight.workshop.stores.picking import CURING, about, shelf, take, to_be_sent, wanting
from rushlight.workshop.stores.views import OrderView
from rushlight.workshop.typed import LONGEST_NOTE, Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

_FIELDS: Final = ("candle", "lot", "jars", "channel", "price", "buyer", "contact", "note", CURING)


def send(shop: Workshop, code: str, *, key: str | None = None) -> OrderView:
    """Send an order; Refused where jars of it are still to be picked.

    What its jars are packed in leaves the stores with them, as far as it is there.
    """
    from rushlight.store.deeds import deed_of
    from rushlight.store.marks import stamp

    with deed_of(shop.store, "order.send", at=shop.now(), key=key) as work:
        if work.first is None:
            row = to_be_sent(existing(work.connection, code))
            wants = wanting(work.connection, row["id"])
            short = [f"{jars} of {line['name']}" for line, jars in wants if jars > 0]
            if short:
                raise Refused(
                    f"Jars of order {row['code']} are not picked: {', '.join(short)}. "
                    "Pick them, or order fewer."
                )
            work.change("sales_order", row["id"], sent_at=stamp(work.at))
            about(work, row["code"], _packed(work, row["id"], f"Sent order {row['code']}."))
        return view_within(shop, work.connection, work.outcome()["order"])


def sell(shop: Workshop, typed: Mapping[str, str], *, key: str | None = None) -> OrderView:
    """Sell jars over the counter: one order, picked and sent at once.

    typed: candle (its oldest cured jars), or lot (the code of a lot of jars); jars, channel;
    price of a jar (the price asked where it is empty), buyer, contact, note; "curing": "yes"
    where jars of a lot that still cures may go.
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "order.sell", at=shop.now(), key=key) as work:
        if work.first is None:
            code, said = _sell(shop, work, typed)
            about(work, code, said)
        return view_within(shop, work.connection, work.outcome()["order"])


def _sell(shop: Workshop, work: Work, typed: Mapping[str, str]) -> tuple[str, str]:
    from rushlight.store.codes import order_code
    from rushlight.store.marks import stamp
    from rushlight.store.queries.orders import next_order
    from rushlight.store.queries.others import settings

    connection = work.connection
    form, catalogue = Typed(typed, _FIELDS), Catalogue(shop, connection)
    form.needed("jars", "The number of jars is missing.", "Type it, like 2.")
    jars = jars_read(form, "jars", least=1)
    price = price_read(form, "price", settings(connection).get("currency", "GBP"))
    channel = _found(form, "channel", catalogue.channel, "Choose a channel.")
    lot = _lot(form, connection) if form.text("lot") else None
    candle = None
    if lot is not None:
        candle = catalogue.candle(lot["slug"])
        _check_lot_is_of(form, catalogue, lot)
    elif not form.text("lot"):
        candle = _found(form, "candle", catalogue.candle, "Choose a candle, or type a lot's code.")
    note = form.text("note", longest=LONGEST_NOTE)
    name, contact = (" ".join(form.text(field).split()) for field in ("buyer", "contact"))
    if price is None and candle is not None and channel is not None:
        price = _asked(form, catalogue, candle, channel)
    takes = []
    if jars is not None and candle is not None:
        takes = _takes(shop, form, connection, (candle, lot), jars)
    form.problems.check()
    if candle is None or channel is None or jars is None or price is None:
        raise BadInput.one("This sale is not complete.", "Type what, how many and how it is sold.")
    at, code = stamp(work.at), order_code(next_order(connection))
    order = work.add(
        "sales_order",
        code=code,
        channel_id=channel["id"],
        buyer_id=buyer_of(work, name, contact),
        placed_on=shop.today().isoformat(),
        note=note,
        sent_at=at,
        at=at,
    )
    values = {"candle_id": candle["id"], "jars": jars, "price": price}
    line = work.add("order_line", sales_order_id=order, at=at, **values)
    for number, part in takes:
        take(work, line, number, part)
    return code, _packed(work, order, f"Sold {jars} of {candle['name']}, order {code}.")


def _packed(work: Work, order: int, said: str) -> str:
    """Pack the jars of an order that is sent; return what was done, and what was not there."""
    from rushlight.store.queries.orders import lines
    from rushlight.workshop.stores.packing import pack

    told = pack(work, lines(work.connection, order))
    if told:
        work.change("sales_order", order, unpacked="\n".join(told))
    return " ".join((said, *told))


def _found(
    form: Typed, field: str, look: Callable[[str], RowMapping], remedy: str
) -> RowMapping | None:
    """Return what a field names, looked up; None where a problem was noted."""
    text = form.needed(field, f"The {field} is missing.", remedy)
    if not text:
        return None
    try:
        return look(text)
    except BadInput as bad:
        form.problems.extend(bad.at(field).problems)
        return None


def _lot(form: Typed, connection: Connection) -> RowMapping | None:
    from rushlight.store.queries.orders import jar_lot_row

    try:
        code = check(form.text("lot"))
    except BadInput as bad:
        form.problems.extend(bad.at("lot").problems)
        return None
    row = jar_lot_row(connection, code)
    if row is None:
        what = f"There is no lot of jars {code}."
        form.problems.add("lot", what, "Read the code on the label again.")
    return row


def _check_lot_is_of(form: Typed, catalogue: Catalogue, lot: RowMapping) -> None:
    """Note a lot that is not of the candle chosen beside it: the wrong jar is in the hand."""
    chosen = _found(form, "candle", catalogue.candle, "") if form.text("candle") else None
    if chosen is not None and chosen["id"] != lot["candle_id"]:
        what = f"Lot {lot['code']} is of {lot['name']}."
        form.problems.add("lot", what, "Look at the jar again, or choose the other candle.")


def _asked(
    form: Typed, catalogue: Catalogue, candle: RowMapping, channel: RowMapping
) -> int | None:
    if any(problem.place == "price" for problem in form.problems.found):
        return None
    try:
        return catalogue.asked(candle, channel["slug"])
    except BadInput as bad:
        form.problems.extend(bad.at("price").problems)
        return None


def _takes(
    shop: Workshop,
    form: Typed,
    connection: Connection,
    what: tuple[RowMapping, RowMapping | None],
    jars: int,
) -> list[tuple[int, int]]:
    """Return lots and jars to take: of one lot, or of the oldest cured ones."""
    candle, lot = what
    have = shelf(shop, connection, [candle["id"]])
    curing = form.choice(CURING, ("yes", "no"), "no") == "yes"
    if lot is None:
        takes = [(int(row["id"]), part) for row, part in have.take(candle["id"], jars)]
        found = sum(part for _, part in takes)
        if found < jars:
            waiting = have.of(candle["id"], cured=False)
            until = f" The next ones cure until {waiting[0]['ready_on']}." if waiting else ""
            said = f"Only {found} cured jars of {candle['name']} are in hand.{until}"
            form.problems.add("jars", said, "Sell fewer, or choose a lot by its code.")
        return takes
    left = have.left.get(lot["id"], 0)
    if left < jars:
        said = f"Lot {lot['code']} has {left} jars."
        form.problems.add("jars", said, "Sell fewer, or count them first.")
    if lot["ready_on"] > have.today and not curing:
        said = f"Lot {lot['code']} cures until {lot['ready_on']}."
        form.problems.add(CURING, said, "Say that jars still curing may go.")
    return [(int(lot["id"]), jars)]

"""What is in hand: received, counted, scrapped. Always the sum of the movements."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rushlight.errors import NotFound
from rushlight.workshop.material_views import Amount, MaterialView, Measure, amount_reader
from rushlight.workshop.shop import Workshop
from rushlight.workshop.typed import Typed

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.store.deeds import Work


def on_hand(shop: Workshop, slugs: Sequence[str] | None = None) -> dict[str, Amount]:
    """Return what is in hand by slug, of all materials or of some; NotFound."""
    from rushlight.store.queries import materials as query

    with shop.store.reading() as connection:
        rows = {row["slug"]: row for row in query.materials(connection)}
        held = query.held(connection)
    wanted = list(rows) if slugs is None else slugs
    for slug in wanted:
        if slug not in rows:
            raise NotFound(f"There is no material “{slug[:60]}” in this workshop.")
    return {s: Amount(held.get(rows[s]["id"], 0), Measure(rows[s]["measure"])) for s in wanted}


def receive(
    shop: Workshop, slug: str, typed: Mapping[str, str], *, key: str | None = None
) -> MaterialView:
    """Put into stores, without a delivery's papers. typed: amount ("5 kg", "24"), note.

    It becomes a lot of its own, worth what the cheapest price in force says; without a price
    its cost is not known.
    """
    return _moved(shop, slug, typed, "received", key)


def count(
    shop: Workshop, slug: str, typed: Mapping[str, str], *, key: str | None = None
) -> MaterialView:
    """Enter what was counted: the difference is booked as "counted". typed: amount, note.

    note: why it differs; "Counted" where she gives no reason.
    """
    return _moved(shop, slug, typed, "counted", key)


def scrap(
    shop: Workshop, slug: str, typed: Mapping[str, str], *, key: str | None = None
) -> MaterialView:
    """Take out what is thrown away. typed: amount, note. Refused below zero."""
    return _moved(shop, slug, typed, "scrapped", key)


def _moved(
    shop: Workshop, slug: str, typed: Mapping[str, str], reason: str, key: str | None
) -> MaterialView:
    from rushlight.store.deeds import deed_of
    from rushlight.workshop.materials import existing, get

    with deed_of(shop.store, f"material.{reason}", at=shop.now(), key=key) as work:
        if work.first is None:
            row = existing(work.connection, slug)
            amount, note = _form(typed, row, reason)
            _book(shop, work, row, amount, (reason, note))
            work.said = f"{reason.capitalize()}: {row['name']}, {typed['amount'].strip()}."
            work.result = {"slug": slug}
    return get(shop, slug)


def _form(typed: Mapping[str, str], row: RowMapping, reason: str) -> tuple[int, str]:
    form = Typed(typed, ("amount", "note"))
    measure = Measure(row["measure"])
    like = "24" if measure is Measure.PIECES else "5 kg"
    form.needed("amount", "The amount is missing.", f"Type it, like {like}.")
    amount = form.read("amount", amount_reader(measure))
    if amount is not None and amount.units == 0 and reason != "counted":
        form.problems.add("amount", "Nothing would move.", f"Type an amount, like {like}.")
    note = form.text("note")
    form.problems.check()
    return (0 if amount is None else amount.units), note


def _book(shop: Workshop, work: Work, row: RowMapping, units: int, why: tuple[str, str]) -> None:
    """Book an amount of a material for a reason, with a note."""
    from rushlight.store.queries.materials import held
    from rushlight.workshop.stores.ledger import (
        COUNTED,
        NewLot,
        draw,
        found_more,
        open_lot,
        priced,
    )

    (reason, note), on, number = why, shop.today(), row["id"]
    note = note or (COUNTED if reason == "counted" else "")
    if reason == "received":
        cost = priced(work.connection, number, Measure(row["measure"]), units, on=on)
        new = NewLot(units=units, cost=cost, received_on=on, note=note)
        open_lot(work, number, new, reason=reason)
        return
    more = -units
    if reason == "counted":
        more = units - held(work.connection, [number]).get(number, 0)
    if more > 0:
        found_more(work, row, more, on=on, note=note)
    elif more < 0:
        draw(work, number, -more, reason=reason, note=note)

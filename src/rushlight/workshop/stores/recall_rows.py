"""A recall as one table, for a spreadsheet: every jar made is in one of its rows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from rushlight.workshop.stores.recalling import Recall
from rushlight.workshop.stores.trace_views import TracedJars, TracedPacking

Cell = str | int | date | None

HEADER: Final = (
    *("Where", "Buyer", "Contact", "Order", "Channel", "Placed", "Sent"),
    *("Jar lot", "Candle", "Revision", "Pour", "Poured", "Of lots", "Jars"),
)
_HERE: Final = {
    "in_hand": "in hand",
    "given": "given away",
    "testing": "used for testing",
    "broken": "broken",
    "missing": "missing when counted",
    "came_back": "came back, order not named",
}
_NOBODY: Final = "not known"


def recall_rows(recall: Recall) -> tuple[tuple[str, ...], tuple[tuple[Cell, ...], ...]]:
    """Return the heading and the rows: whom to write to first, then what is not sold.

    The column of jars adds up to all that were made; jars that came back without an order
    named count below zero, for they are in hand again and stand as sold too. Of packaging no jar
    is made: its rows are the lines of orders that were packed in it, with the jars they have.
    """
    lots: dict[int, list[str]] = {}
    for use in recall.uses:
        lots.setdefault(use.pour, []).append(use.lot)
    return HEADER, tuple(_rows(recall, {pour: " ".join(codes) for pour, codes in lots.items()}))


def _rows(recall: Recall, lots: dict[int, str]) -> Iterator[tuple[Cell, ...]]:
    by_code = {jars.code: jars for jars in recall.jars}
    sold = dict.fromkeys(by_code, 0)
    for sale in recall.sales:
        jars = by_code[sale.lot]
        where = "sold" if sale.sent_on else "picked, not sent"
        who = (sale.buyer or _NOBODY, sale.contact)
        order = (sale.order, sale.channel, sale.placed_on, sale.sent_on)
        sold[sale.lot] += sale.jars if sale.sent_on else 0
        yield (where, *who, *order, *_of(jars, lots), sale.jars)
    for jars in recall.jars:
        loose = jars.sold - sold[jars.code]
        if loose:
            yield ("sold", _NOBODY, "", "", "", None, None, *_of(jars, lots), loose)
        for name, where in _HERE.items():
            count = getattr(jars, name)
            if count:
                signed = -count if name == "came_back" else count
                yield (where, "", "", "", "", None, None, *_of(jars, lots), signed)

    for packings in _by_line(recall.packed):
        one = packings[0]
        yield (
            *("packed in it", one.buyer or _NOBODY, one.contact, one.order, one.channel),
            *(one.placed_on, one.sent_on, " ".join(one.jar_lots), one.name, None, None, None),
            *(" ".join(packing.lot for packing in packings), one.jars),
        )


def _by_line(packed: Sequence[TracedPacking]) -> list[list[TracedPacking]]:
    """Return what each line was packed in: of a batch, perhaps several lots."""
    found: dict[int, list[TracedPacking]] = {}
    for one in packed:
        found.setdefault(one.line, []).append(one)
    return list(found.values())


def _of(jars: TracedJars, lots: dict[int, str]) -> tuple[Cell, ...]:
    return (
        *(jars.code, jars.name, jars.revision, jars.pour, jars.poured_on),
        lots.get(jars.pour, ""),
    )

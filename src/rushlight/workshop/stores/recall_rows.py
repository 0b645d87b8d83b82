"""A recall as one table, for a spreadsheet: every jar made is in one of its rows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Final

from rushlight.workshop.stores.recalling import Recall
from rushlight.workshop.stores.trace_views import TracedJars

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
    named count below zero, for they are in hand again and stand as sold too.
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


def _of(jars: TracedJars, lots: dict[int, str]) -> tuple[Cell, ...]:
    return (
        *(jars.code, jars.name, jars.revision, jars.pour, jars.poured_on),
        lots.get(jars.pour, ""),
    )

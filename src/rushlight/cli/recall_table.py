"""A recall as tables on the terminal: whom to tell first, then what is still here."""

from __future__ import annotations

from collections.abc import Sequence

from rushlight.cli.stores_table import Shown, counted, day
from rushlight.quantity.preference import Preference
from rushlight.workshop.stores.recalling import Recall
from rushlight.workshop.stores.trace_views import TracedPacking


def show_recall(found: Recall, pref: Preference) -> None:
    """Write a recall."""
    shown, total = Shown(pref), found.sum
    shown.line(f"Recall of {found.code}: {counted(total.made, 'jar')} touched.", "bold")
    if found.packed:
        orders = len({one.order for one in found.packed})
        pieces = sum(one.pieces.units for one in found.packed)
        shown.line(f"{counted(orders, 'order')} packed in it: {pieces:,} pieces.", "bold")
    away = (
        *((total.in_hand, "in hand"), (total.picked, "picked and not sent"), (total.sold, "sold")),
        *((total.given, "given away"), (total.testing, "used for testing")),
        *((total.broken, "broken"), (total.missing, "missing when counted")),
        (-total.came_back, "came back, order not named"),
    )
    shown.line(", ".join(f"{jars:,} {where}" for jars, where in away if jars) or "None was made.")
    if total.unknown:
        shown.line(f"Of those sold, nobody knows who has {total.unknown:,}.", "bold")
    for pour in found.running:
        shown.line(f"Pour {pour} runs now and holds one of these lots: stop it.", "bold")
    shown.rows(
        "Whom to tell",
        ("Buyer", "Contact", "Order", "Sent", "Of lot", "Jars>"),
        (
            (
                *(one.buyer or "not known", one.contact, one.order),
                *(day(one.sent_on) or "not yet", one.lot, one.jars),
            )
            for one in found.sales
        ),
    )
    show_packed(shown, found.packed)
    shown.rows(
        "Jars",
        ("Lot", "Candle", "Poured", "Made>", "In hand>", "Picked>", "Sold>"),
        (
            (
                *(one.code, one.name, day(one.poured_on)),
                *(one.made, one.in_hand, one.picked, one.sold),
            )
            for one in found.jars
        ),
    )
    shown.rows(
        "Lots",
        ("Lot", "Material", "Supplier", "Their lot", "Used>", "Left>"),
        (
            (
                *(one.code, one.name, one.supplier, one.supplier_lot),
                *(shown.amount(one.used), shown.amount(one.left)),
            )
            for one in found.lots
        ),
    )


def show_packed(shown: Shown, packed: Sequence[TracedPacking]) -> None:
    """Write which orders were packed in what; their jar lots are told in the file and as JSON."""
    shown.rows(
        "Packed",
        ("Order", "In lot", "Pieces>", "Jars>", "Buyer", "Contact", "Sent"),
        (
            (
                *(one.order, one.lot, shown.amount(one.pieces), one.jars),
                *(one.buyer or "not known", one.contact, day(one.sent_on)),
            )
            for one in packed
        ),
    )

"""The stores as tables on the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rushlight.cli.stores_table import Shown, counted, day
from rushlight.quantity.preference import Preference
from rushlight.workshop.material_views import MaterialLine
from rushlight.workshop.stores.shelves import Shelves
from rushlight.workshop.stores.views import ExpiringLot, JarLotLine, LotLine


def show_stock(found: Shelves, listed: Sequence[MaterialLine], pref: Preference) -> None:
    """Write what is in the stores: all materials, then what asks for something to be done."""
    shown = Shown(pref)
    shown.rows(
        "Materials",
        ("", "Material", "In hand>", "Planned>", "Short>", ""),
        (
            (
                *(line.role, line.name, shown.amount(line.on_hand)),
                *(shown.some(line.planned), shown.some(line.short), "low" if line.low else ""),
            )
            for line in listed
        ),
    )
    shown.rows(
        "Expiring",
        ("Lot", "Material", "Left>", "Date", ""),
        (
            (e.lot.code, e.lot.name, shown.amount(e.lot.left), day(e.lot.expires_on), _until(e))
            for e in found.expiring
        ),
    )
    show_jars(shown, "Out of cure this week", found.this_week)
    show_jars(shown, "Curing", found.curing)
    shown.rows(
        "Ready",
        ("Candle", "Jars>", "Lots>", "Since"),
        ((one.name, one.jars, one.lots, day(one.since)) for one in found.ready),
    )
    shown.rows(
        "Orders to send",
        ("Order", "Due", "For", "Jars>", "Picked>", ""),
        (
            (
                *(o.code, day(o.due_on), o.buyer or o.channel, o.jars, o.picked),
                "late" if o in found.late else "",
            )
            for o in found.orders
        ),
    )
    more = found.open_orders - len(found.orders)
    if more > 0:
        shown.line(f"{counted(more, 'order')} more to send.")
    shown.line(
        f"Materials {shown.money(found.materials_worth)}"
        f"{_and(found.materials_uncosted, 'lot')}, "
        f"jars {shown.money(found.jars_worth)}{_and(found.jars_uncosted, 'jar')}."
    )


def show_jars(shown: Shown, title: str, lines: Iterable[JarLotLine]) -> None:
    """Write lots of jars."""
    shown.rows(
        title,
        ("Lot", "Candle", "Poured", "Out of cure", "Jars>", "State", "A jar>"),
        (
            (
                *(j.code, j.name, day(j.poured_on), day(j.ready_on)),
                *(j.left, j.state.value, shown.money(j.cost)),
            )
            for j in lines
        ),
    )


def show_lots(shown: Shown, lines: Iterable[LotLine]) -> None:
    """Write lots of materials."""
    shown.rows(
        "",
        ("Lot", "Material", "Their lot", "Left>", "Held>", "Good until", "Worth>"),
        (
            (
                *(lot.code, lot.name, lot.supplier_lot, shown.amount(lot.left)),
                *(shown.some(lot.held), day(lot.expires_on), shown.money(lot.worth)),
            )
            for lot in lines
        ),
    )


def _until(one: ExpiringLot) -> str:
    kind = one.lot.date_kind or "expiry"
    return f"past its {kind} date" if one.days < 0 else f"{kind} in {counted(one.days, 'day')}"


def _and(uncosted: int, name: str) -> str:
    return f" and {counted(uncosted, name)} of unknown cost" if uncosted else ""

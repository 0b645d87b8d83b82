"""A delivery as a table on the terminal."""

from __future__ import annotations

from decimal import Decimal

from rushlight.cli.stores_table import Shown, counted
from rushlight.quantity.preference import Preference
from rushlight.workshop.material_views import Measure
from rushlight.workshop.stores.receiving import LandedLine
from rushlight.workshop.stores.views import DeliveryView


def show_delivery(
    lines: tuple[LandedLine, ...], made: DeliveryView | None, pref: Preference
) -> None:
    """Write the lots of a delivery, with what each cost to have it here."""
    shown = Shown(pref)
    codes = [lot.code for lot in made.lots] if made else [""] * len(lines)
    freight, duty = (any(getattr(line, c) for line in lines) for c in ("freight", "duty"))
    shown.rows(
        "",
        (
            *("Lot", "Material", "Came>", "Goods>"),
            *(("Freight>",) if freight else ()),
            *(("Duty>",) if duty else ()),
            *("Here>", "A kilogram or piece>"),
        ),
        (
            (
                *(code, line.name, shown.amount(line.amount), shown.money(line.goods)),
                *((shown.money(line.freight),) if freight else ()),
                *((shown.money(line.duty),) if duty else ()),
                *(shown.money(line.landed), _each(shown, line)),
            )
            for line, code in zip(lines, codes, strict=True)
        ),
    )
    known = [line.landed for line in lines if line.landed is not None]
    total = f"{shown.money(sum(known, Decimal(0)))} in all"
    if len(known) < len(lines):
        missing = counted(len(lines) - len(known), "line")
        total += f", without {missing} of unknown cost"
    if made is None:
        shown.line(f"{total}. Nothing is booked; leave out --dry-run to book it.")
    else:
        delivery = made.line
        shown.line(f"Delivery {delivery.id} from {delivery.supplier}, {delivery.day}: {total}.")


def _each(shown: Shown, line: LandedLine) -> str:
    if line.unit_cost is None:
        return shown.money(None)
    each = "piece" if line.amount.measure is Measure.PIECES else "kg"
    return f"{shown.money(line.unit_cost)} a {each}"

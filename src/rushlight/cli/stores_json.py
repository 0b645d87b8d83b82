"""What the stores hold, as JSON: units in the keys, money in the `currency` beside it.

An amount is always two keys, of which one is null: `left_g` where the material is weighed,
`left_pieces` where it is counted. What is not known is null, never 0.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from rushlight.workshop.material_views import Amount, Measure

if TYPE_CHECKING:
    from rushlight.workshop.stores.views import JarLotLine, LotLine, OrderLine

Json = dict[str, Any]
_LEDGER = 4  # decimals of money, as the workshop keeps it
_MILLI = 1000


def amount(name: str, found: Amount | None) -> Json:
    """Return an amount as two keys."""
    grams = pieces = None
    if found is not None and found.measure is Measure.PIECES:
        pieces = found.units
    elif found is not None:
        grams = found.units / _MILLI
    return {f"{name}_g": grams, f"{name}_pieces": pieces}


def money(found: Decimal | None) -> float | None:
    """Return money as the ledger keeps it, to 1/10 000."""
    return None if found is None else float(round(found, _LEDGER))


def unit_cost(measure: Measure, found: Decimal | None) -> Json:
    """Return a cost for a kilogram or for a piece, as two keys."""
    counted = measure is Measure.PIECES
    return {
        "unit_cost_per_kg": None if counted else money(found),
        "unit_cost_per_piece": money(found) if counted else None,
    }


def when(found: date | datetime | None) -> str | None:
    """Return a day, or a moment to the second with its zone, as ISO 8601 has it."""
    if isinstance(found, datetime):
        return found.isoformat(timespec="seconds")
    return None if found is None else found.isoformat()


def stock_lot(line: LotLine) -> Json:
    """Return a lot of a material; cost: of the whole lot, landed; value: of what is left."""
    return {
        "lot": line.code,
        "material": line.material,
        "name": line.name,
        "role": line.role,
        "supplier": line.supplier,
        "supplier_lot": line.supplier_lot,
        "received_on": when(line.received_on),
        "expires_on": when(line.expires_on),
        "date_kind": line.date_kind,
        **amount("came", line.came),
        **amount("left", line.left),
        **amount("held", line.held),
        "cost": money(line.cost),
        "value": money(line.worth),
        **unit_cost(line.measure, line.unit_cost),
    }


def jar_lot(line: JarLotLine) -> Json:
    """Return the jars of a pour; value: of what is left."""
    return {
        "lot": line.code,
        "pour": line.pour,
        "candle": line.candle,
        "name": line.name,
        "revision": line.revision,
        "poured_on": when(line.poured_on),
        "ready_on": when(line.ready_on),
        "made_jars": line.made,
        "left_jars": line.left,
        "state": line.state.value,
        "cost_per_jar": money(line.cost),
        "value": money(line.worth),
    }


def order(line: OrderLine) -> Json:
    """Return an order; takings: jars times price, before the channel's fees."""
    return {
        "order": line.code,
        "state": line.state.value,
        "channel": line.channel,
        "buyer": line.buyer,
        "placed_on": when(line.placed_on),
        "due_on": when(line.due_on),
        "jars": line.jars,
        "picked_jars": line.picked,
        "takings": money(line.takings),
    }

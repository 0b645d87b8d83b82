"""Stored lots of materials as views of them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.ledger import PER_UNIT
from rushlight.workshop.stores.views import LotLine, LotMove

if TYPE_CHECKING:
    from sqlalchemy import RowMapping


def line_of(row: RowMapping, held: Mapping[int, int]) -> LotLine:
    """Return a lot of `store.queries.stock` as a line.

    held: what running pours hold, by lot (`store.queries.stock.reserved`).
    """
    measure = Measure(row["measure"])
    came, cost = int(row["amount"]), money(int(row["cost"]))
    known = bool(row["costed"])
    # a cost entered later is that of what was left then, not of all that came
    of, per = (cost, came) if row["came_costed"] else (money(int(row["worth"])), int(row["left"]))
    unit = of * PER_UNIT[measure] / per if known and per else None
    return LotLine(
        code=row["code"],
        material=row["slug"],
        name=row["name"],
        role=row["role"],
        measure=measure,
        supplier=row["supplier"] or "",
        supplier_lot=row["supplier_lot"],
        received_on=date.fromisoformat(row["received_on"]),
        expires_on=None if row["expires_on"] is None else date.fromisoformat(row["expires_on"]),
        date_kind=row["date_kind"],
        came=Amount(came, measure),
        left=Amount(int(row["left"]), measure),
        held=Amount(held.get(row["id"], 0), measure),
        cost=cost if known else None,
        worth=money(int(row["worth"])) if known else None,
        unit_cost=unit,
    )


def move_of(shop: Workshop, row: RowMapping, measure: Measure) -> LotMove:
    """Return a movement of a lot."""
    from rushlight.store.marks import moment

    return LotMove(
        at=shop.local(moment(row["at"])),
        amount=Amount(int(row["amount"]), measure),
        value=money(int(row["value"])),
        reason=row["reason"],
        note=row["note"],
        pour=row["pour_id"],
        stocktake=row["stocktake_id"],
        order=row["order"] or "",
    )

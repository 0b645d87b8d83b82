"""What a material cost over time: what suppliers asked, and what its lots cost to have here."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from rushlight.workshop.material_prices import unit_price
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.ledger import PER_UNIT
from rushlight.workshop.stores.truth_views import AskedPrice, LandedCost, PriceHistory

if TYPE_CHECKING:
    from sqlalchemy import RowMapping


def price_history(shop: Workshop, slug: str) -> PriceHistory:
    """Return the pack prices noted for a material and the landed costs of its lots; NotFound."""
    from rushlight.store.queries import paid as query
    from rushlight.workshop.materials import existing

    with shop.store.reading() as connection:
        row = existing(connection, slug)
        asked = query.asked(connection, row["id"])
        landed = query.landed(connection, row["id"])
    measure = Measure(row["measure"])
    return PriceHistory(
        material=row["slug"],
        name=row["name"],
        measure=measure,
        asked=tuple(_asked(one) for one in asked),
        landed=tuple(_landed(one, measure) for one in landed),
    )


def _asked(row: RowMapping) -> AskedPrice:
    return AskedPrice(
        supplier=row["supplier"],
        pack=row["pack_typed"],
        from_packs=row["from_packs"],
        since=date.fromisoformat(row["since"]),
        price=money(row["price"]),
        unit=unit_price(row),
        dropped=row["retired_at"] is not None,
    )


def _landed(row: RowMapping, measure: Measure) -> LandedCost:
    unit = None
    if row["costed"]:
        unit = money(row["cost"]) * PER_UNIT[measure] / Decimal(int(row["amount"]))
    return LandedCost(
        lot=row["code"],
        supplier=row["supplier"] or "",
        received_on=date.fromisoformat(row["received_on"]),
        came=Amount(int(row["amount"]), measure),
        unit=unit,
    )

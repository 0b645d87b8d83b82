"""A recall put in order for a page: what is here, who has what, and of whom nothing is known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from rushlight.press.recall_list import WHAT_TO_DO
from rushlight.workshop import Workshop
from rushlight.workshop.stores.trace import Recall, TracedJars, TracedSale

NOT_SOLD = {
    "given": "given away",
    "testing": "used for testing",
    "broken": "broken",
    "missing": "missing when counted",
    "came_back": "came back, order not named",
}
"""What becomes of jars that are neither here nor sold, as `RecallSum` names it; in words."""


@dataclass(frozen=True, slots=True)
class Bought:
    """What one buyer has, by order."""

    buyer: str
    contact: str
    sales: tuple[TracedSale, ...]

    @property
    def jars(self) -> int:
        """Jars in all."""
        return sum(sale.jars for sale in self.sales)


def sent(recall: Recall) -> tuple[TracedSale, ...]:
    """Return the sales that have left."""
    return tuple(sale for sale in recall.sales if sale.sent_on is not None)


def held_for(recall: Recall) -> tuple[TracedSale, ...]:
    """Return what is picked for orders and still here."""
    return tuple(sale for sale in recall.sales if sale.sent_on is None)


def loose(recall: Recall) -> Iterator[tuple[TracedJars, int]]:
    """Give jars sold of which not even the order is known, by lot."""
    told: Counter[str] = Counter()
    for sale in sent(recall):
        told[sale.lot] += sale.jars
    for lot in recall.jars:
        if lot.sold != told[lot.code]:
            yield lot, lot.sold - told[lot.code]


def _bought(recall: Recall) -> tuple[Bought, ...]:
    named = [sale for sale in sent(recall) if sale.buyer]  # by buyer already
    groups = groupby(named, key=lambda sale: (sale.buyer, sale.contact))
    return tuple(Bought(*who, tuple(sales)) for who, sales in groups)


def shown(shop: Workshop, recall: Recall) -> dict[str, Any]:
    """Return what the page needs."""
    total = recall.sum
    return {
        "recall": recall,
        "at": shop.local(recall.at),
        "today": shop.today(),
        "bought": _bought(recall),
        "nameless": tuple(sale for sale in sent(recall) if not sale.buyer),
        "loose": tuple(loose(recall)),
        "held": held_for(recall),
        "not_sold": NOT_SOLD,
        "what_to_do": WHAT_TO_DO,
        "packed_orders": len({one.order for one in recall.packed}),
        "packed_pieces": sum(one.pieces.units for one in recall.packed),
        "packed_buyers": len({(p.buyer, p.contact) for p in recall.packed if p.buyer}),
        "rows": (
            ("Still in hand", total.in_hand),
            ("Picked for an order, not sent", total.picked),
            ("Sold, the buyer known", total.sold - total.unknown),
            ("Sold, the buyer not known", total.unknown),
            ("Given away", total.given),
            ("Used for testing", total.testing),
            ("Broken", total.broken),
            ("Missing when counted", total.missing),
            ("Came back, the order not named", -total.came_back),
        ),
    }

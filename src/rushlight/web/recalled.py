"""A recall put in order for a page: what is here, who has what, and of whom nothing is known."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import Any

from rushlight.press.recall_list import WHAT_TO_DO
from rushlight.workshop import Workshop
from rushlight.workshop.stores.recall_parts import NOT_SOLD, held_for, loose, sent
from rushlight.workshop.stores.trace import Recall, TracedSale


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
        "packed_nameless": len({one.order for one in recall.packed if not one.buyer}),
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

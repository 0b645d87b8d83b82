"""The parts of a recall: what has left, what waits for an order, and of what nothing is known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final

from rushlight.workshop.stores.recalling import Recall
from rushlight.workshop.stores.trace_views import TracedJars, TracedSale

NOT_SOLD: Final = {
    "given": "given away",
    "testing": "used for testing",
    "broken": "broken",
    "missing": "missing when counted",
    "came_back": "came back, order not named",
}
"""What becomes of jars that are neither here nor sold, as `RecallSum` names it; in words."""


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

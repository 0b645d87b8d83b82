"""What a counted line says: how far the books are off, and what that is worth."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING

from rushlight.cost.exact import half_even, share_of
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.views import CountLine

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

OPEN, BOOKED, ABANDONED = "open", "booked", "abandoned"


def off(row: RowMapping) -> int:
    """Return how much more was counted of a lot than the books hold now [mg, pieces or jars]."""
    return int(row["counted"]) - int(row["left"])


def worth(row: RowMapping, more: int) -> int:
    """Return the cost that moves when so much more, or less, is there [1/10 000].

    What is missing takes its part of what the lot is still worth, the last of it all of that.
    What is found is worth as much as what it is found beside; where nothing is left to lie
    beside, as much as it cost when it came.
    """
    left, value = int(row["left"]), int(row["worth"])
    if more < 0:
        return -share_of(value, of=left, units=-more)
    if left:
        return half_even(value * more, left)
    return half_even(int(row["cost"]) * more, int(row["came"])) if row["came"] else 0


def moved(row: RowMapping) -> int:
    """Return what went into a lot (or, below zero, out of it) since it was counted."""
    if row["counted"] is None or row["expected"] is None:
        return 0
    return int(row["left"]) - int(row["expected"])


def line_of(
    row: RowMapping,
    *,
    state: str,
    blind: bool,
    booked: Mapping[tuple[int | None, int | None], int],
) -> CountLine:
    """Return a line of a stocktake.

    While it is open it stands against the books as they are now, and nothing of a line that
    is counted blind is told before it is counted. Once booked, it says what was booked.
    """
    measure = Measure(row["measure"])
    counted, expected = row["counted"], row["expected"]
    if state == OPEN:
        expected = None if blind and counted is None else int(row["left"])
    difference = None if counted is None or expected is None else int(counted) - int(expected)
    value: Decimal | None = None
    if difference is not None and row["costed"] and state != ABANDONED:
        owner = row["stock_lot_id"], row["jar_lot_id"]
        units = worth(row, difference) if state == OPEN else booked.get(owner, 0)
        value = money(units)
    since = moved(row) if state == OPEN else 0
    return CountLine(
        id=row["id"],
        code=row["code"],
        name=row["name"],
        role=row["role"],
        measure=measure,
        supplier_lot=row["supplier_lot"],
        expected=_amount(expected, measure),
        typed=row["typed"],
        counted=_amount(counted, measure),
        difference=_amount(difference, measure),
        worth=value,
        moved=_amount(since or None, measure),
    )


def _amount(units: int | None, measure: Measure) -> Amount | None:
    return None if units is None else Amount(int(units), measure)

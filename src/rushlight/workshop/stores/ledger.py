"""The three moves of the ledger: a lot comes, something is drawn, something is found.

Every verb that touches the stores does it through these, inside its own deed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import Refused
from rushlight.workshop.material_views import Measure

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

MONEY: Final = 10_000
"""Parts of the currency that the ledger counts in."""
PER_UNIT: Final = {Measure.MASS: 1_000_000, Measure.PIECES: 1}
"""Ledger units in what a price is for: milligrams in a kilogram, pieces in a piece."""
COUNTED: Final = "Counted"
"""What a count says where the maker gave no reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLot:
    """A lot to open. cost: landed, in 1/10 000; None where it is not known."""

    units: int
    cost: int | None
    received_on: date
    delivery_id: int | None = None
    supplier_lot: str = ""
    expires_on: date | None = None
    date_kind: str = ""
    pack_typed: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Drawn:
    """What was drawn from one lot, and the cost it took along [1/10 000]."""

    lot: int
    units: int
    value: int


def open_lot(work: Work, material_id: int, new: NewLot, *, reason: str, **links: int | None) -> int:
    """Open a lot and put it into stores; return its number. links: pour_id, stocktake_id."""
    from rushlight.store.codes import stock_code
    from rushlight.store.marks import stamp
    from rushlight.store.queries.stock import next_serial

    lot = work.add(
        "stock_lot",
        code=stock_code(next_serial(work.connection)),
        material_id=material_id,
        delivery_id=new.delivery_id,
        supplier_lot=new.supplier_lot,
        amount=new.units,
        cost=new.cost or 0,
        costed=int(new.cost is not None),
        pack_typed=new.pack_typed,
        expires_on=None if new.expires_on is None else new.expires_on.isoformat(),
        date_kind=new.date_kind,
        received_on=new.received_on.isoformat(),
        note=new.note,
        at=stamp(work.at),
    )
    work.do(
        "move",
        stock_lot_id=lot,
        amount=new.units,
        value=new.cost or 0,
        reason=reason,
        note=new.note,
        day=new.received_on.isoformat(),
        **links,
    )
    # asked again by whoever wants to undo it
    work.do("unmoved", stock_lot_id=lot)
    return lot


def draw(  # noqa: PLR0913 - what, how much, why and from where
    work: Work,
    material_id: int,
    units: int,
    *,
    reason: str,
    note: str = "",
    first: Sequence[tuple[int, int]] = (),
    **links: int | None,
) -> tuple[Drawn, ...]:
    """Draw an amount of a material from its lots, first expiring first.

    first: lots with amounts that are to be drawn from before all others, such as those held
    for a pour. What other pours hold is only touched when nothing else is left.
    Refused when there is not as much in hand.
    """
    from rushlight.store.moves import stock_left

    left = units
    drawn: dict[int, int] = {}
    for lot, most in _sources(work.connection, material_id, first, links.get("pour_id")):
        part = min(left, most)
        if part > 0:
            drawn[lot] = drawn.get(lot, 0) + part
            left -= part
    if left > 0:
        name = _name(work.connection, material_id)
        raise Refused(
            f"There is not that much {name} in hand. Count it, and enter what you counted."
        )
    found = []
    for lot, part in drawn.items():
        before = stock_left(work.connection, lot).value
        work.do("move", stock_lot_id=lot, amount=-part, reason=reason, note=note, **links)
        found.append(Drawn(lot, part, before - stock_left(work.connection, lot).value))
    return tuple(found)


def _sources(
    connection: Connection, material_id: int, first: Sequence[tuple[int, int]], pour: int | None
) -> list[tuple[int, int]]:
    """Return lots with what may be drawn of each, in order: chosen, free, held for others."""
    from rushlight.store.queries.stock import in_hand, reserved

    rows = in_hand(connection, material_id)
    held = reserved(connection, but=pour)
    left = {row["id"]: int(row["left"]) for row in rows}
    found: list[tuple[int, int]] = []

    def give(lot: int, most: int) -> None:
        part = min(left.get(lot, 0), most)
        if part > 0:
            left[lot] -= part
            found.append((lot, part))

    for lot, amount in first:
        give(lot, amount)
    for lot in list(left):
        give(lot, left[lot] - held.get(lot, 0))
    for lot in list(left):
        give(lot, left[lot])
    return found


def found_more(
    work: Work,
    row: RowMapping,
    units: int,
    *,
    on: date,
    note: str,
    **links: int | None,
) -> int:
    """Put what a count found beside the lot that came last; return that lot.

    It is worth as much as what it is found beside; where nothing is left to lie beside, what
    the lot cost when it came, and without any lot the price now in force.
    """
    from rushlight.store.queries.stock import newest_lot

    owner, measure = row["id"], Measure(row["measure"])
    lot = newest_lot(work.connection, owner)
    if lot is None:
        cost = priced(work.connection, owner, measure, units, on=on)
        new = NewLot(units=units, cost=cost, received_on=on, note=note)
        return open_lot(work, owner, new, reason="counted", **links)
    told: dict[str, Any] = {"amount": units, "reason": "counted", "note": note, **links}
    if lot["left"] == 0:
        told["value"] = came_at(lot, units)
    work.do("move", stock_lot_id=lot["id"], **told)
    return int(lot["id"])


def came_at(lot: RowMapping, units: int) -> int:
    """Return what an amount of a lot cost when it came [1/10 000]."""
    from rushlight.cost.exact import half_even

    return half_even(int(lot["cost"]) * units, int(lot["amount"])) if lot["amount"] else 0


def priced(
    connection: Connection, material_id: int, measure: Measure, units: int, *, on: date
) -> int | None:
    """Return what an amount costs at the cheapest price in force [1/10 000]; None without one."""
    from rushlight.store.queries.materials import prices
    from rushlight.workshop.material_prices import cheapest

    unit = cheapest(prices(connection, [material_id]), on).get(material_id)
    if unit is None:
        return None
    return round(Decimal(units) / PER_UNIT[measure] * unit * MONEY)


def _name(connection: Connection, material_id: int) -> str:
    from sqlalchemy import select

    from rushlight.store.tables import material

    found = connection.execute(select(material.c.name).where(material.c.id == material_id))
    return str(found.scalar_one())

"""Receiving: a delivery becomes lots, each with what it cost to have it here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from rushlight.errors import NotFound
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money, preference_of
from rushlight.workshop.stores.delivery_form import MOST_LINES, Line, Papers, read
from rushlight.workshop.stores.ledger import MONEY, PER_UNIT, NewLot, open_lot
from rushlight.workshop.stores.views import DeliveryLine, DeliveryView

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.store.deeds import Work

__all__ = [
    "MOST_LINES",
    "LandedLine",
    "deliveries",
    "get",
    "preview",
    "receive",
    "receive_within",
]

_MOST_ROWS: Final = 2**31
_NAMED: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedLine:
    """What a line of a delivery costs with its share of freight and duty.

    place: where it was typed ("lines.0"). goods and landed are None where the price was left
    empty. unit_cost: landed, for a kilogram or a piece.
    """

    place: str
    material: str  # slug
    name: str
    amount: Amount
    goods: Decimal | None
    freight: Decimal
    duty: Decimal
    landed: Decimal | None
    unit_cost: Decimal | None


def receive(shop: Workshop, typed: Mapping[str, str], *, key: str | None = None) -> DeliveryView:
    """Enter a delivery; every line becomes a lot.

    typed: supplier, day (today), reference, note; freight, freight_by ("value" or "mass"),
    duty, duty_by; and by line lines.N.material (short name or name), lines.N.packs ("2"),
    lines.N.pack ("10 kg"), lines.N.price (of one pack), lines.N.supplier_lot, lines.N.expires,
    lines.N.date_kind ("expiry" or "retest"). Empty rows are passed over. A price may be left
    empty when there is no freight or duty: the cost of that lot is then not known.
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "delivery.receive", at=shop.now(), key=key) as work:
        if work.first is None:
            number = receive_within(shop, work, typed)
            work.subject = f"delivery:{number}"
            work.result = {"id": number}
        number = work.outcome()["id"]
    return get(shop, number)


def receive_within(shop: Workshop, work: Work, typed: Mapping[str, str]) -> int:
    """Enter a delivery as part of a deed, as `receive`; return its number."""
    from rushlight.store.marks import stamp

    papers = read(work.connection, typed, preference_of(work.connection), shop.today())
    landed = _landed(papers)
    supplier = _supplier(work, papers.supplier)
    number = work.add(
        "delivery",
        supplier_id=supplier,
        day=papers.day.isoformat(),
        reference=papers.reference,
        note=papers.note,
        freight=papers.freight,
        duty=papers.duty,
        freight_by=papers.freight_by,
        duty_by=papers.duty_by,
        at=stamp(work.at),
    )
    _note_prices(work, papers, supplier)
    for line, found in zip(papers.lines, landed, strict=True):
        new = NewLot(
            units=line.units,
            cost=None if found.landed is None else int(found.landed * MONEY),
            received_on=papers.day,
            delivery_id=number,
            supplier_lot=line.supplier_lot,
            expires_on=line.expires,
            date_kind=line.date_kind,
            pack_typed=f"{line.packs} × {line.pack_typed}",
        )
        open_lot(work, line.material["id"], new, reason="received")
    work.said = f"Received from {papers.supplier}: {_listed(papers.lines)}."
    return number


def preview(shop: Workshop, typed: Mapping[str, str]) -> tuple[LandedLine, ...]:
    """Return what each line will have cost, before it is booked; the supplier may be missing."""
    with shop.store.reading() as connection:
        pref = preference_of(connection)
        papers = read(connection, typed, pref, shop.today(), supplier_needed=False)
    return _landed(papers)


def deliveries(shop: Workshop, *, limit: int = 100) -> tuple[DeliveryLine, ...]:
    """Return the latest deliveries, newest first; those undone are marked."""
    from rushlight.store.queries import stock as query

    with shop.store.reading() as connection:
        rows = query.deliveries(connection, limit)
    return tuple(_line_of(row) for row in rows)


def get(shop: Workshop, number: int) -> DeliveryView:
    """Return one delivery with its lots; NotFound."""
    from rushlight.store.queries import stock as query
    from rushlight.workshop.stores.lot_rows import line_of

    with shop.store.reading() as connection:
        row = query.delivery_row(connection, number) if 0 < number < _MOST_ROWS else None
        if row is None:
            raise NotFound(f"There is no delivery {number}.")
        lots = query.lots_of_delivery(connection, number)
        held = query.reserved(connection)
    return DeliveryView(
        line=_line_of(row),
        freight=money(row["freight"]),
        duty=money(row["duty"]),
        freight_by=row["freight_by"],
        duty_by=row["duty_by"],
        note=row["note"],
        lots=tuple(line_of(lot, held) for lot in lots),
    )


def _line_of(row: RowMapping) -> DeliveryLine:
    return DeliveryLine(
        id=row["id"],
        day=date.fromisoformat(row["day"]),
        supplier=row["supplier"],
        reference=row["reference"],
        lots=int(row["lots"]),
        total=money(int(row["total"])),
        undone=row["retired_at"] is not None,
    )


def _landed(papers: Papers) -> tuple[LandedLine, ...]:
    from rushlight.cost.landed import OrderLine, SpreadBy, land

    spread = land(
        [
            OrderLine(
                name=line.material["name"],
                value=money(line.goods),
                mass=_kilograms(line),
            )
            for line in papers.lines
        ],
        freight=money(papers.freight),
        duty=money(papers.duty),
        freight_by=SpreadBy(papers.freight_by),
        duty_by=SpreadBy(papers.duty_by),
    )
    found = []
    for line, part in zip(papers.lines, spread, strict=True):
        known = line.price is not None
        found.append(
            LandedLine(
                place=line.place,
                material=line.material["slug"],
                name=line.material["name"],
                amount=Amount(line.units, line.measure),
                goods=part.line.value if known else None,
                freight=part.freight,
                duty=part.duty,
                landed=part.landed if known else None,
                unit_cost=part.landed * PER_UNIT[line.measure] / line.units if known else None,
            )
        )
    return tuple(found)


def _kilograms(line: Line) -> Decimal:
    """Return what a line weighs [kg]; of pieces it is not known, and never asked."""
    if line.measure is Measure.PIECES:
        return Decimal(0)
    return Decimal(line.units) / PER_UNIT[Measure.MASS]


def _supplier(work: Work, name: str) -> int:
    """Return the supplier of that name, whatever the case; a new one where there is none."""
    from rushlight.store.marks import plain
    from rushlight.store.queries.materials import suppliers

    known = suppliers(work.connection)
    same = (number for called, number in known.items() if plain(called) == plain(name))
    return known.get(name) or next(same, 0) or work.add("supplier", name=name)


def _note_prices(work: Work, papers: Papers, supplier: int) -> None:
    """Note what a pack cost as a price of the supplier, unless that is in force already.

    A free sample is no price. Where the supplier has tiers, it is that of the tier reached.
    """
    from rushlight.store.queries.materials import prices
    from rushlight.workshop.material_prices import in_force

    owners = sorted({line.material["id"] for line in papers.lines})
    standing: dict[tuple[int, int], dict[int, int]] = {}
    for row in in_force(prices(work.connection, owners), papers.day):
        if row["supplier_id"] == supplier:
            tiers = standing.setdefault((row["material_id"], row["pack"]), {})
            tiers[row["from_packs"]] = row["price"]
    for line in papers.lines:
        if not line.price:
            continue
        owner = line.material["id"]
        tiers = standing.setdefault((owner, line.pack), {})
        reached = max((packs for packs in tiers if packs <= line.packs), default=1)
        if tiers.get(reached) == line.price:
            continue
        tiers[reached] = line.price
        work.add(
            "price",
            material_id=owner,
            supplier_id=supplier,
            pack_typed=line.pack_typed,
            pack=line.pack,
            price=line.price,
            from_packs=reached,
            since=papers.day.isoformat(),
        )


def _listed(lines: Sequence[Line]) -> str:
    """Return the first materials by name, and how many lines more there are."""
    names = list(dict.fromkeys(str(line.material["name"]) for line in lines))
    more = len(names) - _NAMED
    listed = ", ".join(names[:_NAMED])
    return f"{listed} and {more} more" if more > 0 else listed

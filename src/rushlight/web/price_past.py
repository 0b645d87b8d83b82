"""What a material cost over time: the drawing, and every point of it as a row of a table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby

from markupsafe import Markup

from rushlight.quantity.money import CURRENCIES
from rushlight.web.drawing.price_line import Paid, SupplierLine, price_line
from rushlight.workshop import Workshop, settings
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores.truth import price_history
from rushlight.workshop.stores.truth_views import AskedPrice, LandedCost, PriceHistory

_NOBODY = "without papers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A price asked, or a lot that came (`lot` is its code, `came` its amount).

    unit: for a kilogram or a piece; None where it is not known.
    """

    day: date
    supplier: str
    pack: str
    from_packs: int
    dropped: bool
    lot: str
    came: Amount | None
    unit: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PricePast:
    """The history of a material's price as it is shown. points: newest first."""

    drawing: Markup
    points: tuple[Point, ...]
    each: str  # "a kilogram" or "a piece"


def price_past(shop: Workshop, slug: str) -> PricePast:
    """Return the price history of a material as it is shown; NotFound."""
    found = price_history(shop, slug)
    pref = settings.current(shop).preference
    each = "a kilogram" if found.measure is Measure.MASS else "a piece"
    known = CURRENCIES.get(pref.currency)
    unit = f"{known.symbol if known else pref.currency} {each}"
    points = [*map(_asked, found.asked), *map(_landed, found.landed)]
    return PricePast(
        drawing=price_line(suppliers(found), pref, unit=unit, until=shop.today()),
        points=tuple(sorted(points, key=lambda one: one.day, reverse=True)),
        each=each,
    )


def suppliers(found: PriceHistory) -> list[SupplierLine]:
    """Return a line for each supplier: the best price for a single pack, and what came."""
    asking = (one.supplier for one in found.asked)
    names = dict.fromkeys((*asking, *(one.supplier for one in found.landed)))
    lines = []
    for name in names:
        own = [one for one in found.asked if one.supplier == name and not one.dropped]
        came = [one for one in found.landed if one.supplier == name]
        lines.append(
            SupplierLine(
                name=name or _NOBODY,
                asked=tuple(_best(one for one in own if one.from_packs == 1)),
                landed=tuple(Paid(c.received_on, c.unit) for c in came if c.unit is not None),
            )
        )
    return lines


def _best(asked: Iterable[AskedPrice]) -> Iterable[Paid]:
    """Yield the price of the pack that is cheapest by the unit, each day one of them changes."""
    packs: dict[str, Decimal] = {}
    for day, changed in groupby(asked, key=lambda one: one.since):
        packs |= {one.pack: one.unit for one in changed}
        yield Paid(day, min(packs.values()))


def _asked(one: AskedPrice) -> Point:
    return Point(
        day=one.since,
        supplier=one.supplier,
        pack=one.pack,
        from_packs=one.from_packs,
        dropped=one.dropped,
        lot="",
        came=None,
        unit=one.unit,
    )


def _landed(one: LandedCost) -> Point:
    return Point(
        day=one.received_on,
        supplier=one.supplier or _NOBODY,
        pack="",
        from_packs=1,
        dropped=False,
        lot=one.lot,
        came=one.came,
        unit=one.unit,
    )

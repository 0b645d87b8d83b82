"""Stored prices, labour steps, overhead and packaging, put into a costing of one jar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from rushlight.cost.jar import Costing, JarCost, Use, jar_cost
from rushlight.cost.labour import MINUTES, Per, Step
from rushlight.cost.overhead import Overhead
from rushlight.cost.packs import Buying, Offer, Tier, cheapest
from rushlight.workshop.candle_views import Sheets, Supply
from rushlight.workshop.material_prices import MONEY, in_force
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.supplies import Need, supplies_of

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection, RowMapping

    from rushlight.workshop.settings import Settings

_UNITS: Final = {Measure.MASS: "kg", Measure.PIECES: "piece"}
_PER_UNIT: Final = {Measure.MASS: Decimal(1_000_000), Measure.PIECES: Decimal(1)}


@dataclass(frozen=True, slots=True, kw_only=True)
class CostView:
    """The cost of a jar and all it follows from; missing: what has no price yet, counted as 0."""

    cost: JarCost
    costing: Costing
    missing: tuple[str, ...]


def cost_within(
    connection: Connection,
    sheets: Sheets,
    settings: Settings,
    *,
    today: date,
    document: Mapping[str, Any] | None = None,
) -> CostView:
    """Return what a jar of a batch costs.

    A jar bears its part of the batch's materials, residue and spill included, at the
    price of the packs the batch needs, pro rata; the cheapest supplier is taken.
    document: says what a jar is packed in, where that is not as in the settings.
    """
    batch = sheets.batch
    packing = supplies_of(connection, tuple(packaging(document or {}, settings)))
    offers = _offers(connection, (*sheets.supplies, *packing), today)
    missing: list[str] = []

    def uses(supplies: Iterable[Supply], jars: int) -> tuple[Use, ...]:
        return tuple(_use(s, jars, offers.get(s.slug or "", ()), missing) for s in supplies)

    costing = Costing(
        materials=uses(sheets.supplies, batch.jars_poured),
        packaging=uses(packing, 1),
        scrap=_decimal(settings.scrap),
        steps=tuple(
            Step(step.name, _decimal(step.time) / MINUTES, Per(step.per))
            for step in settings.labour
        ),
        rate=settings.labour_rate,
        jars=batch.jars_poured,
        overhead=Overhead(
            per_month=settings.overhead_per_month,
            jars_per_month=Decimal(settings.jars_per_month),
        ),
    )
    return CostView(cost=jar_cost(costing), costing=costing, missing=tuple(missing))


def _use(supply: Supply, jars: int, offers: Sequence[Offer], missing: list[str]) -> Use:
    measure = supply.needed.measure
    total = supply.needed.units / _PER_UNIT[measure]
    unit_cost = Decimal(0)
    if offers:
        _, bought = cheapest(offers, needed=total, buying=Buying.PRO_RATA)
        unit_cost = bought.unit_cost
    elif supply.name not in missing:
        missing.append(supply.name)
    return Use(supply.name, total / jars, _UNITS[measure], unit_cost)


def _offers(
    connection: Connection, supplies: Iterable[Supply], today: date
) -> dict[str, tuple[Offer, ...]]:
    """Return the offers in force for what is needed, by material."""
    from rushlight.store.queries.materials import prices_of

    slugs = [supply.slug for supply in supplies if supply.slug is not None]
    return offers_of(prices_of(connection, slugs), today) if slugs else {}


def offers_of(rows: Iterable[RowMapping], today: date) -> dict[str, tuple[Offer, ...]]:
    """Return the offers in force by material: one for each supplier and size of pack.

    rows: prices with the slug and measure of their material, oldest first.
    """
    packs: dict[tuple[str, int, int], list[RowMapping]] = {}
    for row in in_force(rows, today):
        packs.setdefault((row["slug"], row["supplier_id"], row["pack"]), []).append(row)
    found: dict[str, tuple[Offer, ...]] = {}
    for (owner, _, pack), tiers in packs.items():
        measure = Measure(tiers[0]["measure"])
        size = pack / _PER_UNIT[measure]
        offer = Offer(unit=_UNITS[measure], size=size, tiers=_tiers(tiers))
        found[owner] = (*found.get(owner, ()), offer)
    return found


def _tiers(rows: Iterable[RowMapping]) -> tuple[Tier, ...]:
    """Return the tiers of a pack; below the first one named, its price holds as well."""
    tiers = sorted((int(row["from_packs"]), Decimal(row["price"]) / MONEY) for row in rows)
    first = [] if tiers[0][0] == 1 else [Tier(1, tiers[0][1])]
    return (*first, *(Tier(packs, price) for packs, price in tiers))


def packaging(document: Mapping[str, Any], settings: Settings) -> Iterator[Need]:
    """Yield what one jar is packed in: as the candle says, or as the settings do."""
    priced = document.get("price")
    own = priced.get("packaging") if isinstance(priced, Mapping) else None
    if isinstance(own, list):
        from rushlight.workshop.settings import packaging_of

        lines = packaging_of(own)
    else:
        lines = settings.packaging
    for line in lines:
        amount = Amount(line.pieces, Measure.PIECES)
        yield Need("packaging", line.use, line.use, amount)


def _decimal(value: float) -> Decimal:
    """Return a float's shortest decimal: the 0.02 that was meant, not its binary neighbour."""
    return Decimal(repr(float(value)))

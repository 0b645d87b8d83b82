"""The materials of a pour: planned at the prices in force then, taken at the cost of their lots."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from rushlight.cost.packs import Buying, Offer, cheapest
from rushlight.cost.variance import Spent, Variance, variance
from rushlight.workshop.costing import offers_of
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.ledger import MONEY, PER_UNIT
from rushlight.workshop.stores.truth_views import Cost, LotTaken, MaterialTruth

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.workshop.pour_views import PourView


@dataclass(frozen=True, slots=True)
class Taken:
    """A material of a pour: whose it is, what was planned, and the lots it was taken from."""

    row: RowMapping
    planned: int
    unit: Decimal | None
    lots: tuple[RowMapping, ...]

    @property
    def measure(self) -> Measure:
        """How it is counted."""
        return Measure(self.row["measure"])

    @property
    def split(self) -> Variance:
        """Planned beside actual; a cost is not known where that of one lot is not."""
        cost = None if self.unit is None else self._planned_cost(self.unit)
        known = all(known_cost(lot) for lot in self.lots)
        paid = sum(int(lot["value"]) for lot in self.lots) if known else None
        used = sum(int(lot["units"]) for lot in self.lots)
        return variance(
            self.row["name"], planned=Spent(self.planned, cost), actual=Spent(used, paid)
        )

    def _planned_cost(self, unit: Decimal) -> int:
        return round(Decimal(self.planned) / PER_UNIT[self.measure] * unit * MONEY)


def known_cost(lot: RowMapping) -> bool:
    """Return whether what was taken of a lot bore its cost: a cost entered since does not reach."""
    return bool(lot["costed"]) or int(lot["value"]) > 0 or int(lot["units"]) == 0


def materials_of(connection: Connection, view: PourView) -> list[Taken]:
    """Return every material that was planned or taken, in the order of the sheet."""
    from rushlight.store.marks import stamp
    from rushlight.store.queries import paid, pouring

    planned: dict[int, int] = {}
    for need in pouring.kept_needs(connection, view.id):
        owner = int(need["material_id"])
        planned[owner] = planned.get(owner, 0) + int(need["amount"])
    lots: dict[int, list[RowMapping]] = {}
    for row in paid.taken(connection, view.id):
        if any(int(row[name]) for name in ("units", "value", "thrown")):
            lots.setdefault(int(row["material_id"]), []).append(row)
    rows = pouring.materials_by_id(connection, {*planned, *lots})
    prices = paid.prices_at(connection, list(rows), stamp(view.planned_at))
    offers = offers_of(prices, view.planned_at.date())
    return [
        Taken(
            rows[owner],
            planned.get(owner, 0),
            _unit(rows[owner], planned.get(owner, 0), offers),
            tuple(lots.get(owner, ())),
        )
        for owner in dict.fromkeys((*planned, *lots))
    ]


def _unit(row: RowMapping, planned: int, offers: Mapping[str, Sequence[Offer]]) -> Decimal | None:
    """Return the price of a kilogram or piece, in the packs the plan needed; None without one."""
    own = offers.get(row["slug"], ())
    if not own or not planned:
        return None
    needed = Decimal(planned) / PER_UNIT[Measure(row["measure"])]
    return cheapest(own, needed=needed, buying=Buying.PRO_RATA)[1].unit_cost


def material_truth(one: Taken, split: Variance) -> MaterialTruth:
    """Return a material as it is told, with its split difference."""
    measure = one.measure
    return MaterialTruth(
        name=one.row["name"],
        material=one.row["slug"],
        planned=Amount(split.planned.amount, measure),
        actual=Amount(split.actual.amount, measure),
        planned_unit=one.unit,
        planned_cost=_money(split.planned.known),
        actual_cost=_money(split.actual.known),
        price=_money(split.price),
        usage=_money(split.usage),
        lots=tuple(
            LotTaken(
                lot["code"],
                Amount(int(lot["units"]), measure),
                money(lot["value"]) if known_cost(lot) else None,
            )
            for lot in one.lots
            if int(lot["units"])
        ),
    )


def materials_cost(splits: Iterable[Variance]) -> Cost:
    """Return the sums; not known where that of one material is not."""
    found = tuple(splits)
    planned = [one.planned.known for one in found]
    actual = [one.actual.known for one in found]
    return Cost(planned=_money(_whole(planned)), actual=_money(_whole(actual)))


def _whole(parts: Sequence[int | None]) -> int | None:
    known = [part for part in parts if part is not None]
    return sum(known) if len(known) == len(parts) else None


def _money(units: int | None) -> Decimal | None:
    return None if units is None else money(units)

"""What the stores were worth at the end of a day.

Materials in three ways. *By lot*: what each lot still bears of its own landed cost, every draw
taken from a lot that was named, the first to expire first (specific identification). *First in
first out* and the *weighted average* (taken anew as each delivery comes in) as IAS 2, paragraph
25, has them for goods that are like one another; they stand beside for comparison. Jars are
worth what their pours cost. Nothing is written down to what it would fetch (paragraph 9).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.truth_views import (
    JarsWorth,
    MaterialWorth,
    Three,
    UnknownLot,
    Valuation,
)

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.workshop.stores.held import Held


def valuation(shop: Workshop, day: date) -> Valuation:
    """Return what the stores were worth at the end of a day; a cost not known is left out."""
    from rushlight.store.queries import worth as query
    from rushlight.workshop.stores.holdings import holdings

    text = day.isoformat()
    with shop.store.reading() as connection:
        moved, went = query.last_days(connection)
        holds = holdings(connection, None if moved <= text else text)
        lots = {lot for one in holds.values() for lot, _ in one.unknown}
        named = query.lot_names(connection, lots)
        owners = query.material_names(connection)
        jars = query.jars_held(connection, None if went <= text else text)
    materials = tuple(_materials(holds, owners, named))
    finished = tuple(_jars(jars))
    return Valuation(
        day=day,
        materials=materials,
        materials_total=_total(one.worth for one in materials if one.on_hand.units),
        jars=finished,
        jars_total=sum((one.worth for one in finished), money(0)),
    )


def _materials(
    holds: Mapping[int, Held],
    owners: Mapping[int, RowMapping],
    named: Mapping[int, RowMapping],
) -> Iterable[MaterialWorth]:
    """Yield what there is of each material, by role and name; nothing where there is none."""
    rows = (owners[owner] for owner, one in holds.items() if one.units or one.unknown)
    for row in sorted(rows, key=lambda row: (row["role"], row["name"].casefold(), row["id"])):
        one, measure = holds[row["id"]], Measure(row["measure"])
        yield MaterialWorth(
            material=row["slug"],
            name=row["name"],
            role=row["role"],
            on_hand=Amount(one.units, measure),
            worth=Three(
                by_lot=money(one.by_lot),
                fifo=None if one.fifo is None else money(one.fifo),
                average=None if one.average is None else money(one.average),
            ),
            unknown=tuple(_unknown(one, measure, named)),
        )


def _unknown(one: Held, measure: Measure, named: Mapping[int, RowMapping]) -> Iterable[UnknownLot]:
    for lot, units in one.unknown:
        row = named[lot]
        yield UnknownLot(
            code=row["code"],
            supplier_lot=row["supplier_lot"],
            received_on=date.fromisoformat(row["received_on"]),
            on_hand=Amount(units, measure),
        )


def _total(worths: Iterable[Three]) -> Three:
    """Return the sums; of a formula that one material has no figure of, none."""
    found = tuple(worths)
    fifo = [one.fifo for one in found if one.fifo is not None]
    average = [one.average for one in found if one.average is not None]
    return Three(
        by_lot=sum((one.by_lot for one in found), money(0)),
        fifo=sum(fifo, money(0)) if len(fifo) == len(found) else None,
        average=sum(average, money(0)) if len(average) == len(found) else None,
    )


def _jars(rows: Sequence[Any]) -> Iterable[JarsWorth]:
    """Yield the jars of each candle, in the order of their names."""
    by_candle: dict[str, list[Any]] = {}
    for row in rows:
        by_candle.setdefault(row["slug"], []).append(row)
    for slug, lots in by_candle.items():
        known = [lot for lot in lots if lot["costed"]]
        yield JarsWorth(
            candle=slug,
            name=lots[0]["name"],
            jars=sum(int(lot["jars"]) for lot in known),
            worth=money(sum(int(lot["value"]) for lot in known)),
            unknown=tuple((lot["code"], int(lot["jars"])) for lot in lots if not lot["costed"]),
        )

"""What the stores are worth, as a page and a spreadsheet show it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from rushlight.quantity.preference import Preference
from rushlight.web.adding import adding_up, coin, ledger, whole
from rushlight.workshop.exchange.csv_writer import Cell
from rushlight.workshop.materials import ROLES, Measure
from rushlight.workshop.stores.truth_views import JarsWorth, MaterialWorth, Three, Valuation

_HEADS = {
    "wax": "Waxes",
    "fragrance": "Fragrance oils",
    "dye": "Dyes",
    "packaging": "Packaging",
    "finish": "Finishes",
}


@dataclass(frozen=True, slots=True)
class Row:
    """A material with its worth in three ways, in whole coins."""

    of: MaterialWorth
    worth: Three


@dataclass(frozen=True, slots=True)
class Group:
    """The materials of a role; the worths of all groups come to the total."""

    name: str
    rows: tuple[Row, ...]
    worth: Three


@dataclass(frozen=True, slots=True)
class JarRow:
    """The jars of a candle with their worth in whole coins, and what one of them is worth."""

    of: JarsWorth
    worth: Decimal
    each: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A valuation in whole coins, every column coming to its total."""

    groups: tuple[Group, ...]
    materials: Three
    jars: tuple[JarRow, ...]
    jars_total: Decimal
    jar_count: int
    total: Decimal


def shown(found: Valuation, pref: Preference) -> Shown:
    """Return a valuation as it is shown."""
    step = coin(pref)
    known = [one for one in found.materials if one.on_hand.units]
    by_lot = adding_up([one.worth.by_lot for one in known], step)
    fifo = _column([one.worth.fifo for one in known], step)
    average = _column([one.worth.average for one in known], step)
    rows = [
        Row(one, Three(by_lot=lot, fifo=first, average=mean))
        for one, lot, first, mean in zip(known, by_lot, fifo, average, strict=True)
    ]
    jars = [one for one in found.jars if one.jars]
    worths = adding_up([one.worth for one in jars], step)
    groups = tuple(_groups(rows))
    materials = _sum([one.worth for one in rows])
    total = sum(worths, Decimal(0))
    return Shown(
        groups=groups,
        materials=materials,
        jars=tuple(
            JarRow(one, worth, whole(one.worth / one.jars, step))
            for one, worth in zip(jars, worths, strict=True)
        ),
        jars_total=total,
        jar_count=sum(one.jars for one in jars),
        total=materials.by_lot + total,
    )


def _column(values: Sequence[Decimal | None], step: Decimal) -> list[Decimal | None]:
    """Return a column whose known figures come to their sum."""
    known = iter(adding_up([value for value in values if value is not None], step))
    return [None if value is None else next(known) for value in values]


def _groups(rows: Sequence[Row]) -> Iterator[Group]:
    for role in ROLES:
        own = tuple(row for row in rows if row.of.role == role)
        if own:
            yield Group(
                _HEADS.get(role, f"{role.capitalize()}s"), own, _sum([r.worth for r in own])
            )


def _sum(worths: Sequence[Three]) -> Three:
    """Return the sums; of a formula that is silent on one of them, none."""
    fifo = [one.fifo for one in worths if one.fifo is not None]
    average = [one.average for one in worths if one.average is not None]
    return Three(
        by_lot=sum((one.by_lot for one in worths), Decimal(0)),
        fifo=sum(fifo, Decimal(0)) if len(fifo) == len(worths) else None,
        average=sum(average, Decimal(0)) if len(average) == len(worths) else None,
    )


HEADER = (
    *("day", "what", "role", "name", "lot", "amount", "unit"),
    *("worth by lot", "worth first in first out", "worth at the weighted average"),
)
"""The heading of the spreadsheet."""


def sheet(found: Valuation) -> Iterator[Sequence[Cell]]:
    """Yield the rows of the spreadsheet: exact, and what is left out with no worth."""
    day = found.day
    for one in found.materials:
        measure = one.on_hand.measure
        unit, per = ("kg", 6) if measure is Measure.MASS else ("pieces", 0)
        if one.on_hand.units:
            amount = Decimal(one.on_hand.units).scaleb(-per)
            worths = (one.worth.by_lot, one.worth.fifo, one.worth.average)
            yield day, "material", one.role, one.name, "", amount, unit, *map(ledger, worths)
        for lot in one.unknown:
            amount = Decimal(lot.on_hand.units).scaleb(-per)
            yield day, "cost not known", one.role, one.name, lot.code, amount, unit, *(None,) * 3
    for jars in found.jars:
        if jars.jars:
            worth = (ledger(jars.worth), None, None)
            yield day, "jars", "", jars.name, "", Decimal(jars.jars), "jars", *worth
        for code, count in jars.unknown:
            yield day, "cost not known", "", jars.name, code, Decimal(count), "jars", *(None,) * 3

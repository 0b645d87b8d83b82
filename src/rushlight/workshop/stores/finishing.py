"""A pour is over: what was used leaves its lots, and the good jars become a lot of their own.

All of it is one deed. Undoing it brings the pour back to running and the stores to what they
were, to the last milligram and 1/10 000; it is refused once jars have gone.

With no good jar there is no lot of jars: what was used stays used by the pour, and its whole
cost is scrap.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from rushlight.cost.exact import half_even
from rushlight.quantity.si import Kilogram
from rushlight.workshop.pour_sheet import get, view_within
from rushlight.workshop.pour_states import about, in_state
from rushlight.workshop.pour_views import PourState, PourView
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.costs import MaterialPart, PourCost, overhead_of, work_of
from rushlight.workshop.stores.finish_form import REASONS, Left, Poured, read
from rushlight.workshop.stores.ledger import Drawn, draw, found_more
from rushlight.workshop.stores.reserving import past
from rushlight.workshop.stores.working import stop_all

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work

__all__ = ["REASONS", "finish"]

_DAY = 86400.0


def finish(
    shop: Workshop, pour: int, typed: Mapping[str, str], *, key: str | None = None
) -> PourView:
    """Finish a running pour.

    typed: good; rejected.<reason> (`REASONS`; a plain count in `rejected` is for another
    reason); left.<material>.amount and .fate ("returned", the default, or "scrapped");
    count_wrong, why the count was wrong, where more was used than is in hand; jars_differ, why
    there are more jars or fewer than can have been poured, kept in the note; person, note.

    What was used is the actual mass where it was ticked, the planned one otherwise. It is drawn
    from the lots held for the pour, then from others, first expiring first.
    """
    from rushlight.store.deeds import deed_of

    with deed_of(shop.store, "pour.finish", at=shop.now(), key=key) as work:
        if work.first is None:
            _finish(shop, work, pour, typed)
    return get(shop, pour)


def _finish(shop: Workshop, work: Work, pour: int, typed: Mapping[str, str]) -> None:
    from rushlight.store.marks import stamp
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    row = in_state(work.connection, pour, PourState.RUNNING)
    view = view_within(shop, work.connection, pour)
    known = settings_of(settings(work.connection))
    poured = _poured(work.connection, view)
    told = read(typed, poured, known.preference)
    stop_all(work, pour)
    _put_right(shop, work, pour, poured, told.count_wrong)
    parts: list[MaterialPart] = []
    for number, units in poured.used.items():
        drawn = _draw(work, pour, number, units, shop.today())
        rest = _give_back(work, pour, drawn, told.left.get(number))
        parts += _parts(work.connection, poured.materials[number], rest)
    rejected = sum(told.rejected.values())
    steps, rate = work_of(work.connection, pour, known, jars=told.good + rejected)
    cost = PourCost(
        materials=tuple(parts),
        labour=steps,
        rate=rate,
        overhead=overhead_of(known, told.good),
        good=told.good,
        rejected=rejected,
    )
    ready = work.at.date() + _cure(view)
    code = _jar_lot(work, row, cost, ready) if told.good else ""
    for reason, jars in told.rejected.items():
        work.add("reject", pour_id=pour, reason=reason, jars=jars, at=stamp(work.at))
    work.change(
        "pour",
        pour,
        state=PourState.FINISHED.value,
        finished_at=stamp(work.at),
        ready_on=ready.isoformat(),
        good=told.good,
        rejected=rejected,
        note=told.note,
        person=told.person or row["person"],
    )
    of = f", lot {code}" if code else ""
    about(work, row, f"Finished {told.good} of {row['name']}{of}.")
    work.result = {"pour": pour, "lot": code}
    # what comes back into a lot comes before what leaves it again, whoever undoes this
    work.inverse.sort(key=lambda c: c.name != "move" or c.args["amount"] <= 0)


def _poured(connection: Connection, view: PourView) -> Poured:
    from rushlight.store.queries.materials import held
    from rushlight.store.queries.pouring import materials_by_id
    from rushlight.workshop.consumption import used

    amounts = {number: units for number, units in used(connection, view).items() if units > 0}
    batch = view.sheets.batch
    return Poured(
        planned=view.jars,
        spare=batch.jars_poured - view.jars,
        fill=batch.jar.fill_mass,
        mix=Kilogram(batch.jars_mass + _off_plan(view)),
        allowed=Kilogram(batch.residue_mass + batch.spill_mass),
        materials=materials_by_id(connection, amounts),
        used=amounts,
        in_hand=held(connection, list(amounts)),
    )


def _off_plan(view: PourView) -> float:
    """Return how much more was weighed into the pots than planned [kg]."""
    done = ((line.tick, line.planned) for pot in view.pots for line in pot.lines)
    return sum(tick.actual - planned for tick, planned in done if tick is not None)


def _cure(view: PourView) -> timedelta:
    """Return the cure in whole days, a part of a day counted as one."""
    return timedelta(days=-(-float(view.sheets.jar.windows.cure.aim) // _DAY))


def _put_right(shop: Workshop, work: Work, pour: int, poured: Poured, reason: str) -> None:
    """Enter what the count was short of, as a stocktake of its own with its reason."""
    from rushlight.store.marks import stamp
    from rushlight.store.moves import stock_left

    missing = poured.missing()
    if not missing:
        return
    at = stamp(work.at)
    stocktake = work.add(
        "stocktake",
        of="materials",
        blind=0,
        state="booked",
        reason=reason,
        opened_at=at,
        booked_at=at,
    )
    links = {"pour_id": pour, "stocktake_id": stocktake}
    for number, units in missing.items():
        row = poured.materials[number]
        lot = found_more(work, row, units, on=shop.today(), note=reason, **links)
        counted = stock_left(work.connection, lot).units
        work.add(
            "count_line",
            stocktake_id=stocktake,
            stock_lot_id=lot,
            expected=counted - units,
            counted=counted,
        )


def _draw(work: Work, pour: int, material: int, units: int, day: date) -> tuple[Drawn, ...]:
    """Draw what was used: of the lots held, of those free, and last of those past their date."""
    from rushlight.store.queries.stock import in_hand, reservations, reserved

    own = [
        (row["stock_lot_id"], int(row["amount"]))
        for row in reservations(work.connection, pour)
        if row["material_id"] == material
    ]
    mine: dict[int, int] = {}
    for lot, amount in own:
        mine[lot] = mine.get(lot, 0) + amount
    others = reserved(work.connection, but=pour)
    free = [
        (row["id"], int(row["left"]) - others.get(row["id"], 0) - mine.get(row["id"], 0))
        for row in in_hand(work.connection, material)
        if not past(row, day)
    ]
    return draw(work, material, units, reason="used", first=(*own, *free), pour_id=pour)


def _give_back(
    work: Work, pour: int, drawn: Iterable[Drawn], left: Left | None
) -> tuple[Drawn, ...]:
    """Return what the jars bear of what was drawn, the leftover given back or thrown away.

    A leftover is of the lot drawn from last, and takes back its part of the cost it took along.
    """
    units = 0 if left is None else left.units
    rest = []
    for one in reversed(tuple(drawn)):
        part = min(units, one.units)
        units -= part
        value = half_even(one.value * part, one.units) if part else 0
        if part:
            told = {"stock_lot_id": one.lot, "pour_id": pour}
            work.do("move", amount=part, value=value, reason="returned", **told)
            if left is not None and left.scrapped:
                work.do("move", amount=-part, value=-value, reason="scrapped", **told)
        rest.append(Drawn(one.lot, one.units - part, one.value - value))
    return tuple(reversed(rest))


def _parts(
    connection: Connection, material: RowMapping, drawn: Iterable[Drawn]
) -> list[MaterialPart]:
    from rushlight.store.queries.stock import lot_row

    found = []
    for one in drawn:
        lot = lot_row(connection, one.lot)
        if lot is not None and (one.units or one.value):
            found.append(
                MaterialPart(
                    material=material["slug"],
                    name=material["name"],
                    role=material["role"],
                    measure=material["measure"],
                    lot=lot["code"],
                    units=one.units,
                    value=one.value,
                    known=bool(lot["costed"]),
                )
            )
    return found


def _jar_lot(work: Work, row: RowMapping, cost: PourCost, ready: date) -> str:
    """Put the good jars into stores as a lot; return its code."""
    from rushlight.store.codes import jar_code
    from rushlight.store.marks import stamp, written
    from rushlight.store.queries.jars import next_number

    day = work.at.date()
    code = jar_code(day, next_number(work.connection, day))
    values: dict[str, Any] = {
        "code": code,
        "pour_id": row["id"],
        "candle_id": row["candle_id"],
        "poured_on": day.isoformat(),
        "ready_on": ready.isoformat(),
        "jars": cost.good,
        "cost": cost.cost,
        "costed": int(cost.known),
        "costing": written(cost.as_kept()),
        "at": stamp(work.at),
    }
    lot = work.add("jar_lot", **values)
    work.do("jars", jar_lot_id=lot, jars=cost.good, value=cost.cost, reason="poured")
    return code

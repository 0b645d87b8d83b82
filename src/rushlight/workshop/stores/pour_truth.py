"""Planned against actual: what a finished pour really cost, and why it was not what was planned.

* Materials: what the plan needed at the prices in force on the day it was made, beside what was
  used less what was returned, at the cost of the lots it came from; the difference is split into
  price and usage (`rushlight.cost.variance`).
* Labour: the planned time of each step for all jars poured, beside the time it was clocked at,
  both at the pay that the finished pour was costed with.
* Overhead: of the jars wanted beside the good ones.

Packaging is in neither: jars are packed later, when an order is sent (`packing`).
"""

from __future__ import annotations

import json
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from rushlight.cost.exact import half_even
from rushlight.cost.variance import together
from rushlight.errors import Refused
from rushlight.workshop.pour_sheet import view_within
from rushlight.workshop.pour_views import PourState
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.costs import PourCost, kept, labour, overhead_of, work_of
from rushlight.workshop.stores.finish_form import REASONS
from rushlight.workshop.stores.ledger import MONEY
from rushlight.workshop.stores.pour_materials import material_truth, materials_cost, materials_of
from rushlight.workshop.stores.truth_views import Cost, LabourTruth, PourTruth

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from rushlight.workshop.pour_views import PourView
    from rushlight.workshop.settings import Settings


def pour_truth(shop: Workshop, pour: int) -> PourTruth:
    """Return what a pour was to cost and what it cost; Refused while it is not finished."""
    from rushlight.store.queries import paid, pouring
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    with shop.store.reading() as connection:
        view = view_within(shop, connection, pour)
        if view.state is not PourState.FINISHED:
            raise Refused("What this pour cost is known once it is finished.")
        known = settings_of(settings(connection))
        made = paid.jars_made(connection, pour)
        cost = None if made is None else kept(json.loads(made["costing"]))
        found = materials_of(connection, view)
        rejects = pouring.rejects(connection, pour)
        work = _work(connection, view, known, cost)
        unkept = _unkept(connection, view)
    splits = [one.split for one in found]
    parts = together(splits)
    materials = materials_cost(splits)
    hours = Cost(
        planned=sum((one.planned_cost for one in work), money(0)),
        actual=sum((one.actual_cost for one in work), money(0)),
    )
    good = view.good or 0
    overhead = Cost(
        planned=money(overhead_of(known, view.jars)),
        actual=money(overhead_of(known, good) if cost is None else cost.overhead),
    )
    total = _sum(materials, hours, overhead)
    if made is not None:  # what its jars were booked at is what they cost
        total = Cost(planned=total.planned, actual=money(made["cost"]) if made["costed"] else None)
    return PourTruth(
        pour=pour,
        lot="" if made is None else made["code"],
        jars=view.jars,
        good=good,
        rejected=tuple((REASONS.get(reason, reason), jars) for reason, jars in rejects),
        materials=tuple(map(material_truth, found, splits)),
        labour=work,
        material_cost=materials,
        labour_cost=hours,
        overhead=overhead,
        total=total,
        a_jar=Cost(planned=_each(total.planned, view.jars), actual=_each(total.actual, good)),
        thrown=money(sum(int(lot["thrown"]) for one in found for lot in one.lots)),
        price=money(parts.price),
        usage=money(parts.usage),
        unsplit=parts.unknown,
        unkept=unkept,
    )


def _work(
    connection: Connection, view: PourView, settings: Settings, cost: PourCost | None
) -> tuple[LabourTruth, ...]:
    """Return the steps: as planned for all jars poured, and as the finished pour was costed."""
    jars = (view.good or 0) + (view.rejected or 0)
    actual, rate = work_of(connection, view.id, settings, jars=jars)
    if cost is not None:
        actual, rate = cost.labour, cost.rate
    poured = view.sheets.batch.jars_poured
    planned = {part.step: part for part in labour((), settings.labour, rate, poured)[0]}
    spent = {part.step: part for part in actual}
    found = []
    for step in dict.fromkeys((*planned, *spent)):
        plan, real = planned.get(step), spent.get(step)
        timed = real is not None and real.timed
        found.append(
            LabourTruth(
                step=step,
                planned=timedelta(seconds=plan.seconds if plan else 0),
                timed=timedelta(seconds=real.seconds) if real and timed else None,
                planned_cost=money(plan.cost if plan else 0),
                actual_cost=money(real.cost if real else 0),
            )
        )
    return tuple(found)


def _unkept(connection: Connection, view: PourView) -> tuple[str, ...]:
    from rushlight.store.queries.pours import needs

    rows = needs(connection, view.id)
    return tuple(dict.fromkeys(row["name"] for row in rows if row["material_id"] is None))


def _sum(*costs: Cost) -> Cost:
    planned = [one.planned for one in costs if one.planned is not None]
    actual = [one.actual for one in costs if one.actual is not None]
    return Cost(
        planned=sum(planned, money(0)) if len(planned) == len(costs) else None,
        actual=sum(actual, money(0)) if len(actual) == len(costs) else None,
    )


def _each(cost: Decimal | None, jars: int) -> Decimal | None:
    """Return a cost by the jar, to 1/10 000."""
    return None if cost is None or jars == 0 else money(half_even(int(cost * MONEY), jars))

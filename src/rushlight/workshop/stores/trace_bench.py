"""What happened at the bench to the pours of a thread, and what is to be noticed of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.quantity.si import Kelvin, Kilogram
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.gathered import Gathered
from rushlight.workshop.stores.trace_views import (
    Bench,
    TracedReading,
    TracedReject,
    TracedWeighing,
    TracedWork,
)

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from rushlight.store.queries.trace import Scope


def bench_of(shop: Workshop, connection: Connection, scope: Scope) -> Bench:
    """Return readings, weighings, work and rejects of some pours."""
    from rushlight.store.marks import moment
    from rushlight.store.queries import trace_bench as query

    return Bench(
        readings=tuple(
            TracedReading(
                pour=row["pour_id"],
                pot=row["pot"],
                at=shop.local(moment(row["at"])),
                temperature=Kelvin(row["millikelvin"] / 1000),
                typed=row["typed"],
            )
            for row in query.readings(connection, scope)
        ),
        weighings=tuple(
            TracedWeighing(
                pour=row["pour_id"],
                pot=row["pot"],
                line=row["line"],
                at=shop.local(moment(row["at"])),
                amount=Kilogram(row["amount"] / 1_000_000),
                typed=row["typed"],
            )
            for row in query.weighings(connection, scope)
        ),
        work=tuple(
            TracedWork(
                pour=row["pour_id"],
                step=row["step"],
                person=row["person"],
                started_at=shop.local(moment(row["started_at"])),
                stopped_at=shop.local(moment(row["stopped_at"])) if row["stopped_at"] else None,
            )
            for row in query.work(connection, scope)
        ),
        rejects=tuple(
            TracedReject(pour=row["pour_id"], reason=row["reason"], jars=row["jars"])
            for row in query.rejects(connection, scope)
        ),
    )


def cautions(connection: Connection, scope: Scope, given: Gathered) -> tuple[str, ...]:
    """Return what is to be noticed: gaps in the thread, dates past, jars gone before their cure."""
    from rushlight.store.queries.trace_bench import found_at

    found = []
    for lot in given.lots:
        if lot.past and lot.expires_on is not None:
            word = "retest date" if lot.date_kind == "retest" else "date"
            found.append(
                f"Lot {lot.code} ({lot.name}) was used after its {word}, {lot.expires_on}."
            )
        if not lot.supplier:
            found.append(f"Who delivered lot {lot.code} ({lot.name}) is not known.")
        elif not lot.supplier_lot:
            found.append(f"{lot.supplier}'s own code of lot {lot.code} ({lot.name}) is not noted.")
    ours = None if scope.lots is None else {lot.code for lot in given.lots}
    measures = {lot.code: lot.came.measure for lot in given.lots}
    for row in found_at(connection, scope):
        if ours is None or row["code"] in ours:
            amount = Amount(int(row["amount"]), measures.get(row["code"], Measure.MASS))
            found.append(_guessed(amount, row["name"], row["code"], row["pour_id"]))
    found += [
        f"{sale.jars} jars of lot {sale.lot} went to order {sale.order} before their cure was over."
        for sale in given.sales
        if sale.early
    ]
    unknown = sum(sale.jars for sale in given.sales if not sale.buyer)
    if unknown:
        found.append(f"Who bought {unknown} of the jars is not known.")
    if scope.lots is not None:
        lines = {one.line: one.jars for one in given.packed if not one.buyer}
        if sum(lines.values()):
            found.append(f"Who has {sum(lines.values())} of the jars packed in it is not known.")
    return tuple(found)


def _guessed(amount: Amount, name: str, code: str, pour: int) -> str:
    if amount.measure is Measure.PIECES:
        much = f"{amount.units}"
    else:
        much = f"{amount.units / 1000:,.0f} g"
    return (
        f"Pour {pour} used {much} of {name} more than was in hand by the books. It is told as of "
        f"lot {code}; it may be of another."
    )

"""Everything on a thread, read in a few statements and put together as rows.

Used by the trace and by the recall alike, so that they cannot differ.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Final

from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.packings import packings_of
from rushlight.workshop.stores.trace_views import (
    TracedJars,
    TracedLot,
    TracedPacking,
    TracedPour,
    TracedSale,
    TracedUse,
)

if TYPE_CHECKING:
    from sqlalchemy import Connection, Row, RowMapping

    from rushlight.store.queries.trace import Scope

_FATES: Final = {
    "sold": "sold",
    "given": "given",
    "testing": "testing",
    "broken": "broken",
    "counted": "missing",
    "taken back": "came_back",
}
FATES: Final = ("picked", "sold", "given", "testing", "broken", "missing", "came_back")
"""Where jars are that are not in hand, as `TracedJars` names it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What is on a thread. suppliers, buyers: their numbers, by code of lot and of order."""

    lots: tuple[TracedLot, ...]
    uses: tuple[TracedUse, ...]
    pours: tuple[TracedPour, ...]
    jars: tuple[TracedJars, ...]
    sales: tuple[TracedSale, ...]
    packed: tuple[TracedPacking, ...]
    suppliers: Mapping[str, int]
    buyers: Mapping[str, int]


def gather(
    shop: Workshop, connection: Connection, scope: Scope, *, packing: bool = True
) -> Gathered:
    """Return what is on a thread; lots looked at are there also when no pour used them.

    packing: whether what jars were packed in is asked for.
    """
    from rushlight.store.queries import trace as query

    drawn = query.drawn(connection, scope)
    packed = query.packed(connection, scope) if packing else ()
    used = {int(row["stock_lot_id"]) for row in drawn} | {row.stock_lot_id for row in packed}
    numbers = sorted(used | set(scope.lots or ()))
    rows = {int(row["id"]): row for row in query.stock_lots(connection, numbers)}
    pours = tuple(_pour(shop, row) for row in query.pours(connection, scope))
    by_pour = {pour.id: pour for pour in pours}
    lots, uses = _used((drawn, packed), rows, by_pour)
    lines = {row.id: row for row in query.lines_of(connection, scope)}
    where, sold, first = _gone(query.went(connection, scope), lines)
    jars = {
        int(row["id"]): _jars(row, by_pour[row["pour_id"]], where.get(row["id"], Counter()))
        for row in query.jar_lots(connection, scope)
    }
    sales = (
        _sale(shop, jars[lot], lines[line], count, first.get((lot, line), ""))
        for (lot, line), count in sold.items()
    )
    jars_on = query.jars_on(connection, sorted({row.order_line_id for row in packed}))
    packings = packings_of(packed, jars_on, rows, lines, shop)
    return Gathered(
        lots=lots,
        uses=uses,
        pours=pours,
        jars=tuple(jars.values()),
        sales=tuple(sorted(sales, key=lambda sale: (sale.placed_on, sale.order, sale.lot))),
        packed=packings,
        suppliers={r["code"]: r["supplier_id"] for r in rows.values() if r["supplier_id"]},
        buyers={line.code: line.buyer_id for line in lines.values() if line.buyer_id},
    )


def _gone(
    rows: Sequence[Row[*tuple[Any, ...]]], lines: Mapping[int, Row[*tuple[Any, ...]]]
) -> tuple[dict[int, Counter[str]], dict[tuple[int, int], int], dict[tuple[int, int], str]]:
    """Return where jars went by lot; how many by lot and line of an order; when the first did."""
    where: dict[int, Counter[str]] = {}
    sold: Counter[tuple[int, int]] = Counter()
    first: dict[tuple[int, int], str] = {}
    for lot, line, why, count, day in rows:
        jars, fate = int(count), _FATES.get(why)
        if line is not None:
            sold[lot, line] += jars
            fate = "sold" if lines[line].sent_at else "picked"
            if why == "sold" and day:
                first[lot, line] = day
        if fate is not None:
            where.setdefault(lot, Counter())[fate] += -jars if fate == "came_back" else jars
    return where, {key: jars for key, jars in sold.items() if jars}, first


def _jars(row: RowMapping, pour: TracedPour, where: Counter[str]) -> TracedJars:
    return TracedJars(
        code=row["code"],
        pour=pour.id,
        candle=pour.candle,
        name=pour.name,
        revision=pour.revision,
        poured_on=date.fromisoformat(row["poured_on"]),
        ready_on=date.fromisoformat(row["ready_on"]),
        made=row["jars"],
        in_hand=int(row["left"]),
        **{fate: where[fate] for fate in FATES},
    )


def _sale(
    shop: Workshop, jars: TracedJars, line: Row[*tuple[Any, ...]], count: int, day: str
) -> TracedSale:
    from rushlight.store.marks import moment

    sent = shop.local(moment(line.sent_at)).date() if line.sent_at else None
    return TracedSale(
        order=line.code,
        lot=jars.code,
        name=jars.name,
        jars=count,
        channel=line.channel,
        buyer=line.buyer,
        contact=line.contact,
        placed_on=date.fromisoformat(line.placed_on),
        sent_on=sent,
        early=bool(day) and day < jars.ready_on.isoformat(),
    )


def _pour(shop: Workshop, row: RowMapping) -> TracedPour:
    from rushlight.store.marks import moment

    started = row["started_at"]
    on = shop.local(moment(started)).date() if started else date.fromisoformat(row["planned_for"])
    return TracedPour(
        id=row["id"],
        candle=row["slug"],
        name=row["name"],
        revision=row["number"],
        state=row["state"],
        poured_on=on,
        person=row["person"],
        good=row["good"],
        rejected=row["rejected"],
        note=row["note"],
    )


def _used(
    moved: tuple[Sequence[RowMapping], Sequence[Row[*tuple[Any, ...]]]],
    rows: Mapping[int, RowMapping],
    pours: Mapping[int, TracedPour],
) -> tuple[tuple[TracedLot, ...], tuple[TracedUse, ...]]:
    """Return the lots, and what each pour used of each; of pours that stand only.

    moved: what pours drew, and what orders were packed in.
    """
    drawn, packed = moved
    uses, total, last = [], dict.fromkeys(rows, 0), dict.fromkeys(rows, date.min)
    for row in drawn:
        number, pour, amount = int(row["stock_lot_id"]), int(row["pour_id"]), int(row["amount"])
        lot = rows[number]
        uses.append(TracedUse(lot["code"], pour, Amount(amount, Measure(lot["measure"]))))
        total[number] += amount
        last[number] = max(last[number], pours[pour].poured_on)
    for packing in packed:
        number = int(packing.stock_lot_id)
        total[number] += int(packing.pieces)
        last[number] = max(last[number], date.fromisoformat(packing.day))
    return tuple(_lot(row, total[n], last[n]) for n, row in rows.items()), tuple(uses)


def _lot(row: RowMapping, used: int, last: date) -> TracedLot:
    measure = Measure(row["measure"])
    expires = date.fromisoformat(row["expires_on"]) if row["expires_on"] else None
    return TracedLot(
        code=row["code"],
        material=row["slug"],
        name=row["name"],
        role=row["role"],
        used=Amount(used, measure),
        came=Amount(int(row["amount"]), measure),
        left=Amount(int(row["left"]), measure),
        supplier=row["supplier"],
        supplier_lot=row["supplier_lot"],
        delivery=row["delivery_id"],
        received_on=date.fromisoformat(row["received_on"]),
        expires_on=expires,
        date_kind=row["date_kind"],
        past=expires is not None and last > expires,
    )

"""What jars on a thread were packed in, put together as rows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.trace_views import TracedPacking

if TYPE_CHECKING:
    from sqlalchemy import Row, RowMapping

_Rows = Sequence["Row[*tuple[Any, ...]]"]


def packings_of(
    packed: _Rows,
    jars_on: _Rows,
    lots: Mapping[int, RowMapping],
    lines: Mapping[int, Row[*tuple[Any, ...]]],
    shop: Workshop,
) -> tuple[TracedPacking, ...]:
    """Return what each line was packed in, in the order the orders were placed.

    packed, jars_on, lots, lines: of `store.queries.trace`, the last two by number.
    """
    from rushlight.store.marks import moment

    theirs: dict[int, dict[str, int]] = {}
    for row in jars_on:
        theirs.setdefault(row.order_line_id, {})[row.code] = int(row.jars)
    found = []
    for row in packed:
        line, lot = lines[row.order_line_id], lots[row.stock_lot_id]
        jars = theirs.get(line.id, {})
        found.append(
            TracedPacking(
                order=line.code,
                line=line.id,
                lot=lot["code"],
                pieces=Amount(int(row.pieces), Measure(lot["measure"])),
                name=line.candle,
                jars=sum(jars.values()),
                jar_lots=tuple(jars),
                channel=line.channel,
                buyer=line.buyer,
                contact=line.contact,
                placed_on=date.fromisoformat(line.placed_on),
                sent_on=shop.local(moment(line.sent_at)).date() if line.sent_at else None,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.placed_on, one.order, one.line, one.lot)))

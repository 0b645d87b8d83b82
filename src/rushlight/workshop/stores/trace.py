"""From a lot of a material to every jar, order and buyer, and back from a jar to every lot.

Each lot is known one step back, to who delivered it under which code, and each jar one step
forward, to who bought it, as the GS1 Global Traceability Standard asks of every party in a
chain. What happened in between, in this workshop, is kept whole.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.gathered import gather
from rushlight.workshop.stores.recalling import Recall, RecallSum, recall
from rushlight.workshop.stores.thread_views import Thread
from rushlight.workshop.stores.trace_root import Root, find, root_of
from rushlight.workshop.stores.trace_views import (
    Bench,
    Found,
    Hit,
    Trace,
    TracedJars,
    TracedLot,
    TracedPacking,
    TracedPour,
    TracedReading,
    TracedReject,
    TracedSale,
    TracedUse,
    TracedWeighing,
    TracedWork,
)

if TYPE_CHECKING:
    from rushlight.store.queries.trace import Scope

__all__ = [
    "Bench",
    "Found",
    "Hit",
    "Recall",
    "RecallSum",
    "Trace",
    "TracedJars",
    "TracedLot",
    "TracedPacking",
    "TracedPour",
    "TracedReading",
    "TracedReject",
    "TracedSale",
    "TracedUse",
    "TracedWeighing",
    "TracedWork",
    "find",
    "follow",
    "recall",
    "thread",
]


def thread(shop: Workshop, code: str) -> Thread:
    """Return the thread from one of our codes, or a pour's number; BadInput, NotFound."""
    return follow(shop, code).thread


def follow(shop: Workshop, code: str) -> Trace:
    """Return all that is known of what a code names, with its thread; BadInput, NotFound.

    code: of a lot of a material (what was made of it, and who has it), of a lot of jars or an
    order (what is in it, and who has it), or the number of a pour.
    """
    from rushlight.workshop.stores.amounts import preference_of
    from rushlight.workshop.stores.trace_bench import bench_of, cautions
    from rushlight.workshop.stores.trace_thread import thread_of

    with shop.store.reading() as connection:
        root = root_of(connection, code)
        scope = _scope(root)
        given = gather(shop, connection, scope)
        shown = preference_of(connection)
        forward = root.kind == "stock_lot"
        bench = Bench() if forward else bench_of(shop, connection, scope)
        noticed = cautions(connection, scope, given)
    return Trace(
        code=root.code,
        kind=root.kind,
        thread=thread_of(root, given, shown=shown, today=shop.today()),
        lots=given.lots,
        uses=given.uses,
        pours=given.pours,
        jars=given.jars,
        sales=given.sales,
        packed=given.packed,
        bench=bench,
        cautions=noticed,
    )


def _scope(root: Root) -> Scope:
    from rushlight.store.queries import trace as query

    match root.kind:
        case "stock_lot":
            return query.from_lots([root.id])
        case "jar_lot":
            return query.from_jars(root.id)
        case "order":
            return query.from_order(root.id)
        case _:
            return query.from_pour(root.id)

"""A recall: which jars are touched, where they are, and whom to write to.

It starts from a lot of a material, with every other lot of the same batch (the same material
from the same supplier under the same code, whenever it was delivered), or from one lot of
jars. Every jar made is somewhere in the list: the sums are checked, not assumed.

No jar is made of packaging: of a lot of it the list says which orders were packed in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from rushlight.errors import Refused
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.gathered import FATES, gather
from rushlight.workshop.stores.thread_views import Kind
from rushlight.workshop.stores.trace_root import root_of
from rushlight.workshop.stores.trace_views import (
    TracedJars,
    TracedLot,
    TracedPacking,
    TracedPour,
    TracedSale,
    TracedUse,
)

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from rushlight.store.queries.trace import Scope


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallSum:
    """Where all the jars are; they add up as in `TracedJars`.

    unknown: of the jars sold, those of which no buyer's name is known.
    """

    made: int
    in_hand: int
    picked: int
    sold: int
    given: int
    testing: int
    broken: int
    missing: int
    came_back: int
    unknown: int

    @property
    def found(self) -> int:
        """Jars whose whereabouts are told; the same as were made."""
        away = self.picked + self.sold + self.given + self.testing + self.broken + self.missing
        return self.in_hand + away - self.came_back


@dataclass(frozen=True, slots=True, kw_only=True)
class Recall:
    """A recall as it stands at a moment.

    kind: "stock_lot" or "jar_lot", code: where it starts. lots: the lots of the batch, or all
    that are in the jars. sales: by buyer, those without one last, then by order; packed: likewise,
    the orders packed in the lots. running: pours that run now and hold one of the lots; stop them.
    """

    code: str
    kind: Kind
    at: datetime
    lots: tuple[TracedLot, ...]
    uses: tuple[TracedUse, ...]
    pours: tuple[TracedPour, ...]
    jars: tuple[TracedJars, ...]
    sales: tuple[TracedSale, ...]
    packed: tuple[TracedPacking, ...]
    running: tuple[int, ...]
    sum: RecallSum


def recall(shop: Workshop, code: str) -> Recall:
    """Return the recall of a lot of a material or of jars; BadInput, NotFound, Refused."""
    from rushlight.store.queries.trace import held_by

    with shop.store.reading() as connection:
        root = root_of(connection, code)
        scope = _scope(connection, root.kind, root.id, root.code)
        given = gather(shop, connection, scope, packing=scope.lots is not None)
        running = held_by(connection, scope.lots) if scope.lots else ()
    return Recall(
        code=root.code,
        kind=root.kind,
        at=shop.now(),
        lots=given.lots,
        uses=given.uses,
        pours=given.pours,
        jars=given.jars,
        sales=tuple(sorted(given.sales, key=_by_buyer)),
        packed=tuple(sorted(given.packed, key=_by_buyer)),
        running=tuple(running),
        sum=_sum(given.jars, given.sales),
    )


def _scope(connection: Connection, kind: Kind, number: int, code: str) -> Scope:
    from rushlight.store.queries.trace import from_jars, from_lots
    from rushlight.store.queries.trace_find import same_batch

    if kind == "stock_lot":
        return from_lots(same_batch(connection, number))
    if kind == "jar_lot":
        return from_jars(number)
    raise Refused(
        f"{code} is no lot: a recall starts from a lot of a material or of jars. Follow its "
        "thread, and choose the lot there."
    )


def _by_buyer(sale: TracedSale | TracedPacking) -> tuple[bool, str, str, str]:
    return (not sale.buyer, sale.buyer.casefold(), sale.order, sale.lot)


def _sum(jars: Sequence[TracedJars], sales: Sequence[TracedSale]) -> RecallSum:
    parts = {name: sum(getattr(lot, name) for lot in jars) for name in ("made", "in_hand", *FATES)}
    known = sum(sale.jars for sale in sales if sale.sent_on is not None and sale.buyer)
    return RecallSum(**parts, unknown=parts["sold"] - known)

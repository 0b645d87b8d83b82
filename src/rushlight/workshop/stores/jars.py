"""Finished jars: each pour's good ones are a lot, curing and then ready, until they are gone."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from rushlight.errors import NotFound
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stores.amounts import money
from rushlight.workshop.stores.costs import kept
from rushlight.workshop.stores.jar_moves import count, take, take_back
from rushlight.workshop.stores.views import CostPart, JarLotLine, JarLotView, JarMove, JarState

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

__all__ = ["count", "get", "latest", "line_of", "listing", "of_pour", "take", "take_back"]

_RECENT: Final = 200
_COIN: Final = Decimal("0.0001")


def listing(
    shop: Workshop, *, candle: str | None = None, empty: bool = False, limit: int = 500
) -> tuple[JarLotLine, ...]:
    """Return lots of jars, the oldest cure first: of one candle (its short name) or all."""
    from rushlight.store.queries.jars import jar_lots

    with shop.store.reading() as connection:
        rows = jar_lots(connection, candle, empty=empty, limit=limit)
    return tuple(line_of(row, shop.today()) for row in rows)


def latest(shop: Workshop, limit: int) -> tuple[JarLotLine, ...]:
    """Return the lots of jars poured last, the newest first, those that are gone too."""
    from rushlight.store.queries import jars as query

    with shop.store.reading() as connection:
        rows = query.latest(connection, limit)
    return tuple(line_of(row, shop.today()) for row in rows)


def of_pour(shop: Workshop, pour: int) -> JarLotLine | None:
    """Return the lot of jars a pour made; None where it made none."""
    from rushlight.store.queries.jars import by_pour

    with shop.store.reading() as connection:
        row = by_pour(connection, pour)
    return None if row is None else line_of(row, shop.today())


def get(shop: Workshop, code: str) -> JarLotView:
    """Return one lot of jars, also one whose pour was undone. BadInput, NotFound."""
    from rushlight.store.queries.jars import entries, went
    from rushlight.store.queries.pouring import rejects

    with shop.store.reading() as connection:
        row = existing(connection, code)
        moves = entries(connection, row["id"], _RECENT)
        gone = went(connection, row["id"])
        rejected = rejects(connection, row["pour_id"])
    return JarLotView(
        line=line_of(row, shop.today()),
        went=tuple(sorted(gone.items())),
        rejected=tuple(rejected),
        parts=_parts(row),
        person=row["person"],
        moves=tuple(_move(shop, move) for move in moves),
    )


def existing(connection: Connection, code: str) -> RowMapping:
    """Return the row of a lot of jars by its code as typed or scanned; BadInput, NotFound."""
    from rushlight.store.codes import check
    from rushlight.store.queries.jars import by_code

    row = by_code(connection, check(code))
    if row is None:
        raise NotFound(f"There is no lot “{code[:40]}” of jars in this workshop.")
    return row


def line_of(row: RowMapping, today: date) -> JarLotLine:
    """Return a row of `store.queries.jars` as a line."""
    left, cost = int(row["left"]), money(row["cost"]) / int(row["jars"])
    ready = date.fromisoformat(row["ready_on"])
    waiting = JarState.CURING if ready > today else JarState.READY
    return JarLotLine(
        code=row["code"],
        pour=row["pour_id"],
        candle=row["slug"],
        name=row["name"],
        revision=row["revision"],
        poured_on=date.fromisoformat(row["poured_on"]),
        ready_on=ready,
        made=row["jars"],
        left=left,
        state=waiting if left else JarState.GONE,
        cost=cost.quantize(_COIN) if row["costed"] else None,
        worth=money(row["worth"]) if row["costed"] else None,
    )


def _parts(row: RowMapping) -> tuple[CostPart, ...]:
    """Return the parts of the cost: each material, each step of the work, the overhead."""
    found = kept(json.loads(row["costing"]))
    if found is None:
        return ()
    materials: dict[str, int] = {}
    for part in found.materials:
        materials[part.name] = materials.get(part.name, 0) + part.value
    return (
        *(CostPart(name, money(value)) for name, value in materials.items()),
        *(CostPart(step.step, money(step.cost)) for step in found.labour),
        CostPart("Overhead", money(found.overhead)),
    )


def _move(shop: Workshop, row: RowMapping) -> JarMove:
    from rushlight.store.marks import moment

    return JarMove(
        at=shop.local(moment(row["at"])),
        jars=int(row["jars"]),
        value=money(row["value"]),
        reason=row["reason"],
        note=row["note"],
        order=row["order"] or "",
        buyer=row["buyer"] or "",
        channel=row["channel"] or "",
        stocktake=row["stocktake_id"],
    )

"""A trace as JSON: every lot, pour, jar and order on the thread, and what links them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.cli.stores_json import Json, amount, when

if TYPE_CHECKING:
    from rushlight.workshop.stores.trace_views import (
        Bench,
        Trace,
        TracedJars,
        TracedLot,
        TracedPacking,
        TracedPour,
        TracedSale,
        TracedUse,
    )

_ZERO = 273.15  # 0 °C [K], by definition (BIPM, SI brochure)
_DIGITS = 6
_GRAMS = 1000.0  # in a kilogram


def shaped(found: Trace) -> Json:
    """Return a trace as JSON."""
    return {
        "code": found.code,
        "kind": found.kind,
        "cautions": list(found.cautions),
        "lots": [lot(one) for one in found.lots],
        "uses": [use(one) for one in found.uses],
        "pours": [pour(one) for one in found.pours],
        "jars": [jars(one) for one in found.jars],
        "sales": [sale(one) for one in found.sales],
        "packed": [packing(one) for one in found.packed],
        "bench": _bench(found.bench),
        "thread": [
            {
                "from": row.source.title if row.source else None,
                "from_code": (row.source.code or None) if row.source else None,
                "into": row.target.title if row.target else None,
                "into_code": (row.target.code or None) if row.target else None,
                "how_much": row.label,
            }
            for row in found.thread.rows
        ],
    }


def lot(one: TracedLot) -> Json:
    """Return a lot of a material on a thread."""
    return {
        "lot": one.code,
        "material": one.material,
        "name": one.name,
        "role": one.role,
        "supplier": one.supplier,
        "supplier_lot": one.supplier_lot,
        "delivery": one.delivery,
        "received_on": when(one.received_on),
        "expires_on": when(one.expires_on),
        "date_kind": one.date_kind,
        "past": one.past,
        **amount("used", one.used),
        **amount("came", one.came),
        **amount("left", one.left),
    }


def use(one: TracedUse) -> Json:
    """Return how much of a lot went into a pour."""
    return {"lot": one.lot, "pour": one.pour, **amount("used", one.amount)}


def pour(one: TracedPour) -> Json:
    """Return a pour on a thread."""
    return {
        "pour": one.id,
        "candle": one.candle,
        "name": one.name,
        "revision": one.revision,
        "state": one.state,
        "poured_on": when(one.poured_on),
        "person": one.person,
        "good_jars": one.good,
        "rejected_jars": one.rejected,
        "note": one.note,
    }


def jars(one: TracedJars) -> Json:
    """Return the jars of a pour, and where they are."""
    return {
        "lot": one.code,
        "pour": one.pour,
        "candle": one.candle,
        "name": one.name,
        "revision": one.revision,
        "poured_on": when(one.poured_on),
        "ready_on": when(one.ready_on),
        "made_jars": one.made,
        "in_hand_jars": one.in_hand,
        "picked_jars": one.picked,
        "sold_jars": one.sold,
        "given_jars": one.given,
        "testing_jars": one.testing,
        "broken_jars": one.broken,
        "missing_jars": one.missing,
        "came_back_jars": one.came_back,
    }


def sale(one: TracedSale) -> Json:
    """Return jars of one lot that went to one order."""
    return {
        "order": one.order,
        "lot": one.lot,
        "name": one.name,
        "jars": one.jars,
        "channel": one.channel,
        "buyer": one.buyer,
        "contact": one.contact,
        "placed_on": when(one.placed_on),
        "sent_on": when(one.sent_on),
        "early": one.early,
    }


def packing(one: TracedPacking) -> Json:
    """Return what jars of a line of an order were packed in, of one lot."""
    return {
        "order": one.order,
        "lot": one.lot,
        **amount("packed", one.pieces),
        "name": one.name,
        "jars": one.jars,
        "jar_lots": list(one.jar_lots),
        "channel": one.channel,
        "buyer": one.buyer,
        "contact": one.contact,
        "placed_on": when(one.placed_on),
        "sent_on": when(one.sent_on),
    }


def _bench(found: Bench) -> Json:
    return {
        "readings": [
            {
                "pour": one.pour,
                "pot": one.pot,
                "at": when(one.at),
                "temperature_c": round(one.temperature - _ZERO, _DIGITS),
                "typed": one.typed,
            }
            for one in found.readings
        ],
        "weighings": [
            {
                "pour": one.pour,
                "pot": one.pot,
                "line": one.line,
                "at": when(one.at),
                "weighed_g": round(one.amount * _GRAMS, _DIGITS),
                "typed": one.typed,
            }
            for one in found.weighings
        ],
        "work": [
            {
                "pour": one.pour,
                "step": one.step,
                "person": one.person,
                "started_at": when(one.started_at),
                "stopped_at": when(one.stopped_at),
            }
            for one in found.work
        ],
        "rejects": [
            {"pour": one.pour, "reason": one.reason, "jars": one.jars} for one in found.rejects
        ],
    }

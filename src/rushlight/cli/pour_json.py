"""A pour as JSON: its lots, and planned beside actual once it is finished."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rushlight.cli.stores_json import Json, amount, money, when

if TYPE_CHECKING:
    from rushlight.cli.pour import Seen
    from rushlight.workshop.pour_views import PourLine
    from rushlight.workshop.stores.truth_views import Cost, LabourTruth, MaterialTruth, PourTruth
    from rushlight.workshop.stores.views import NeedLots


def line(pour: PourLine) -> Json:
    """Return a pour in a list."""
    return {
        "pour": pour.id,
        "candle": pour.slug,
        "name": pour.candle,
        "revision": pour.revision,
        "state": pour.state.value,
        "planned_for": when(pour.planned_for),
        "started_at": when(pour.started_at),
        "finished_at": when(pour.finished_at),
        "ready_on": when(pour.ready_on),
        "planned_jars": pour.jars,
    }


def shaped(seen: Seen) -> Json:
    """Return a pour, whole; truth: null until it is finished."""
    pour = seen.pour
    return {
        "pour": pour.id,
        "candle": pour.slug,
        "name": pour.candle,
        "revision": pour.revision,
        "state": pour.state.value,
        "planned_for": when(pour.planned_for),
        "started_at": when(pour.started_at),
        "finished_at": when(pour.finished_at),
        "ready_on": when(pour.ready_on),
        "planned_jars": pour.jars,
        "good_jars": pour.good,
        "rejected_jars": pour.rejected,
        "rejects": [{"reason": reason, "jars": jars} for reason, jars in pour.rejects],
        "person": pour.person,
        "note": pour.note,
        "jar_lot": pour.jar_lot or None,
        "currency": seen.pref.currency,
        "needs": [_need(need) for need in seen.needs],
        "truth": None if seen.truth is None else _truth(seen.truth),
    }


def _need(need: NeedLots) -> Json:
    return {
        "need": need.need,
        "material": need.material,
        "name": need.name,
        "role": need.role,
        **amount("needed", need.needed),
        **amount("short", need.short),
        "lots": [
            {
                "lot": choice.lot.code,
                **amount("taken", choice.taken),
                **amount("free", choice.free),
                "expires_on": when(choice.lot.expires_on),
                "past": choice.past,
            }
            for choice in need.lots
        ],
    }


def _truth(truth: PourTruth) -> Json:
    return {
        "materials": [_material(one) for one in truth.materials],
        "labour": [_labour(one) for one in truth.labour],
        "material_cost": _cost(truth.material_cost),
        "labour_cost": _cost(truth.labour_cost),
        "overhead_cost": _cost(truth.overhead),
        "total_cost": _cost(truth.total),
        "jar_cost": _cost(truth.a_jar),
        "thrown_cost": money(truth.thrown),
        "price_difference": money(truth.price),
        "usage_difference": money(truth.usage),
        "unsplit": list(truth.unsplit),
        "unkept": list(truth.unkept),
    }


def _material(one: MaterialTruth) -> Json:
    return {
        "material": one.material,
        "name": one.name,
        **amount("planned", one.planned),
        **amount("actual", one.actual),
        "planned_cost": money(one.planned_cost),
        "actual_cost": money(one.actual_cost),
        "price_difference": money(one.price),
        "usage_difference": money(one.usage),
        "lots": [
            {"lot": lot.lot, **amount("taken", lot.amount), "cost": money(lot.cost)}
            for lot in one.lots
        ],
    }


def _labour(one: LabourTruth) -> Json:
    return {
        "step": one.step,
        "planned_s": one.planned.total_seconds(),
        "timed_s": None if one.timed is None else one.timed.total_seconds(),
        "planned_cost": money(one.planned_cost),
        "actual_cost": money(one.actual_cost),
    }


def _cost(found: Cost) -> Json:
    return {"planned": money(found.planned), "actual": money(found.actual)}

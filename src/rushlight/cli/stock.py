"""`rushlight stock`: the stores at a glance."""

from __future__ import annotations

from rushlight.cli.say import say_json
from rushlight.cli.stores_json import Json, amount, jar_lot, money, order, stock_lot, when
from rushlight.cli.workshop import opened
from rushlight.workshop import materials, settings
from rushlight.workshop.material_views import MaterialLine
from rushlight.workshop.stores.shelves import Shelves, shelves


def run_stock(workshop: str, *, as_json: bool) -> None:
    """Write what is in the stores."""
    with opened(workshop) as shop:
        found, listed = shelves(shop), materials.listing(shop)
        pref = settings.current(shop).preference
    if as_json:
        say_json(shaped(found, listed, pref.currency))
        return
    from rushlight.cli.stock_table import show_stock

    show_stock(found, listed, pref)


def shaped(found: Shelves, listed: tuple[MaterialLine, ...], currency: str) -> Json:
    """Return the stores as JSON; low: by short name, each stands among the materials."""
    return {
        "day": when(found.day),
        "currency": currency,
        "materials": [_material(line) for line in listed],
        "low": [line.slug for line in found.low],
        "expiring": [{**stock_lot(one.lot), "days": one.days} for one in found.expiring],
        "out_of_cure_this_week": [jar_lot(line) for line in found.this_week],
        "curing": [jar_lot(line) for line in found.curing],
        "ready": [
            {
                "candle": one.candle,
                "name": one.name,
                "jars": one.jars,
                "lots": one.lots,
                "since": when(one.since),
                "value": money(one.worth),
                "unknown_cost_jars": one.uncosted,
            }
            for one in found.ready
        ],
        "orders": [order(line) for line in found.orders],
        "open_orders": found.open_orders,
        "materials_value": money(found.materials_worth),
        "unknown_cost_lots": found.materials_uncosted,
        "jars_value": money(found.jars_worth),
        "unknown_cost_jars": found.jars_uncosted,
    }


def _material(line: MaterialLine) -> Json:
    return {
        "material": line.slug,
        "name": line.name,
        "role": line.role,
        **amount("on_hand", line.on_hand),
        **amount("planned", line.planned),
        **amount("short", line.short),
        **amount("low_at", line.low_at),
        "low": line.low,
    }

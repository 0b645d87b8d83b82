"""`rushlight price`: what a jar costs and what to charge."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from rushlight.cli.price_found import PriceSheet, Row, in_file, in_workshop
from rushlight.cli.say import say_json
from rushlight.cost.jar import Use

_LEDGER = 4  # decimals of money, as the workshop keeps it
_DIGITS = 9


def run_price(candle: str, workshop: str | None, *, currency: str | None, as_json: bool) -> None:
    """Work out the prices and write them."""
    found = in_file(Path(candle), currency) if workshop is None else in_workshop(candle, workshop)
    if as_json:
        say_json(shaped(found))
        return
    from rushlight.cli.price_table import show_prices

    show_prices(found)


def shaped(found: PriceSheet) -> Mapping[str, Any]:
    """Return the prices as JSON; every amount of money is in `currency`."""
    cost = found.cost
    return {
        "candle": found.candle,
        "currency": found.preference.currency,
        "cost": {
            **{name: _money(amount) for name, amount in cost.parts()},
            "variable": _money(cost.variable),
            "total": _money(cost.total),
            "labour_min": _number(cost.labour.minutes),
            "scrap_percent": _number(cost.scrap_share * 100),
            "material_lines": [_use(use) for use in cost.materials],
            "packaging_lines": [_use(use) for use in cost.packaging],
        },
        "unpriced": list(found.unpriced),
        "channels": [_row(row) for row in found.rows],
        "sensitivity": [
            {
                "name": effect.name,
                "price_10_percent_less": _or_none(effect.low),
                "price_10_percent_more": _or_none(effect.high),
            }
            for effect in found.effects
        ],
    }


def _use(use: Use) -> Mapping[str, Any]:
    return {
        "name": use.name,
        "amount": _number(use.amount),
        "unit": use.unit,
        "unit_cost": _money(use.unit_cost),
        "cost": _money(use.cost),
    }


def _row(row: Row) -> Mapping[str, Any]:
    asked, even = row.asked, row.break_even
    return {
        "name": row.name,
        "kind": row.kind,
        "exact_price": _or_none(row.exact.price if row.exact else None),
        "price": _or_none(asked.price if asked else None),
        "retail_price": _or_none(asked.retail if asked else None),
        "fees": _or_none(sum((fee for _, fee in asked.fees), Decimal(0)) if asked else None),
        "takings": _or_none(asked.takings if asked else None),
        "profit": _or_none(asked.profit if asked else None),
        "margin_percent": _number(asked.margin * 100) if asked else None,
        "markup_percent": _number(asked.markup * 100) if asked and asked.markup else None,
        "minimum_order_jars": asked.minimum_jars if asked else None,
        "break_even_jars_per_month": even.jars if even else None,
        "problem": row.problem,
    }


def _money(amount: Decimal) -> float:
    return float(round(amount, _LEDGER))


def _or_none(amount: Decimal | None) -> float | None:
    return None if amount is None else _money(amount)


def _number(value: Decimal) -> float:
    return float(round(value, _DIGITS))

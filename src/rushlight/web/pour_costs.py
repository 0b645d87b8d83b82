"""Planned against actual of a pour in whole coins that add up, as its page shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from rushlight.quantity.preference import Preference
from rushlight.web.adding import adding_up, coin, whole
from rushlight.workshop import Workshop, settings
from rushlight.workshop.stores.truth import pour_truth
from rushlight.workshop.stores.truth_views import Cost, LabourTruth, MaterialTruth, PourTruth


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRow:
    """A material in whole coins; price and usage come to the difference that is shown."""

    of: MaterialTruth
    cost: Cost
    price: Decimal | None
    usage: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PourCosts:
    """A pour's truth as it is shown; `parts` come to `total`, the rows to their part of it."""

    truth: PourTruth
    materials: tuple[MaterialRow, ...]
    labour: tuple[tuple[LabourTruth, Cost], ...]
    parts: tuple[tuple[str, Cost], ...]
    total: Cost
    a_jar: Cost
    thrown: Decimal


def pour_costs(shop: Workshop, pour: int) -> PourCosts:
    """Return what a finished pour was to cost and what it cost, as it is shown; Refused."""
    return shown(pour_truth(shop, pour), settings.current(shop).preference)


def shown(truth: PourTruth, pref: Preference) -> PourCosts:
    """Return a pour's truth in whole coins."""
    step = coin(pref)
    rows = _together(
        [
            *(Cost(planned=one.planned_cost, actual=one.actual_cost) for one in truth.materials),
            *(Cost(planned=one.planned_cost, actual=one.actual_cost) for one in truth.labour),
            truth.overhead,
        ],
        step,
    )
    cut = len(truth.materials)
    materials, labour, overhead = rows[:cut], rows[cut:-1], rows[-1]
    parts = (
        ("Materials", _sum(materials)),
        ("Labour", _sum(labour)),
        ("Overhead", overhead),
    )
    total = _sum([cost for _, cost in parts])
    if truth.total.actual is None:
        total = Cost(planned=total.planned, actual=None)
    return PourCosts(
        truth=truth,
        materials=tuple(
            _material(one, cost, step) for one, cost in zip(truth.materials, materials, strict=True)
        ),
        labour=tuple(zip(truth.labour, labour, strict=True)),
        parts=parts,
        total=total,
        a_jar=Cost(
            planned=_coins(truth.a_jar.planned, step), actual=_coins(truth.a_jar.actual, step)
        ),
        thrown=whole(truth.thrown, step),
    )


def _together(costs: Sequence[Cost], step: Decimal) -> list[Cost]:
    """Return costs in whole coins, the planned and the actual each coming to their sum."""
    planned = _column([one.planned for one in costs], step)
    actual = _column([one.actual for one in costs], step)
    return [Cost(planned=p, actual=a) for p, a in zip(planned, actual, strict=True)]


def _column(values: Sequence[Decimal | None], step: Decimal) -> list[Decimal | None]:
    known = iter(adding_up([value for value in values if value is not None], step))
    return [None if value is None else next(known) for value in values]


def _sum(costs: Sequence[Cost]) -> Cost:
    planned = [one.planned for one in costs if one.planned is not None]
    actual = [one.actual for one in costs if one.actual is not None]
    return Cost(
        planned=sum(planned, Decimal(0)) if len(planned) == len(costs) else None,
        actual=sum(actual, Decimal(0)) if len(actual) == len(costs) else None,
    )


def _material(one: MaterialTruth, cost: Cost, step: Decimal) -> MaterialRow:
    """Return a material; what is not the price of the shown difference is the usage."""
    price = _coins(one.price, step)
    usage = _coins(one.usage, step)
    if price is not None and usage is not None and cost.more is not None:
        if usage == 0:
            price = cost.more
        elif price == 0:
            usage = cost.more
        else:
            usage = cost.more - price
    return MaterialRow(of=one, cost=cost, price=price, usage=usage)


def _coins(value: Decimal | None, step: Decimal) -> Decimal | None:
    return None if value is None else whole(value, step)

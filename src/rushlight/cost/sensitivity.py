"""What moves the price most: every input ten per cent down and up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import NamedTuple, TypeVar

from rushlight.cost.channel import Channel
from rushlight.cost.exact import ONE, ZERO, note_share
from rushlight.cost.jar import Costing, jar_cost
from rushlight.cost.price import for_margin
from rushlight.errors import BadInput, Problems

TEN_PER_CENT = Decimal("0.1")
Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Effect:
    """What one input does to the price: with a tenth less of it, and with a tenth more.

    None where there is no such price (a margin and fees that reach 100 %).
    """

    name: str
    low: Decimal | None
    high: Decimal | None
    price: Decimal

    @property
    def swing(self) -> Decimal:
        """The largest move of the price either way; infinite where a price is lost."""
        moves = (
            Decimal("Infinity") if moved is None else abs(moved - self.price)
            for moved in (self.low, self.high)
        )
        return max(moves)


class _Case(NamedTuple):
    costing: Costing
    channel: Channel
    margin: Decimal

    def price(self) -> Decimal:
        return for_margin(jar_cost(self.costing).total, self.channel, margin=self.margin).price


def sensitivity(
    costing: Costing, channel: Channel, *, margin: Decimal, change: Decimal = TEN_PER_CENT
) -> tuple[Effect, ...]:
    """Return every input with what it does to the price for a margin, the strongest first.

    change: how far each input is moved [1]. Inputs of zero move nothing and
    are left out. Raises BadInput.
    """
    problems = Problems()
    note_share(change, "change", "The change", problems)
    problems.check()
    case = _Case(costing, channel, margin)
    price = case.price()
    effects = [
        Effect(name, _price_or_none(less), _price_or_none(more), price)
        for (name, less), (_, more) in zip(
            _moved(case, ONE - change), _moved(case, ONE + change), strict=True
        )
    ]
    moving = [effect for effect in effects if effect.swing > ZERO]
    return tuple(sorted(moving, key=lambda effect: -effect.swing))


def _price_or_none(case: _Case) -> Decimal | None:
    try:
        return case.price()
    except BadInput:
        return None  # the moved margin, fee or scrap leaves no price: that is the answer


def _moved(case: _Case, factor: Decimal) -> Iterator[tuple[str, _Case]]:
    """Yield every input by name, and the case with that input alone multiplied."""
    costing, channel, margin = case
    for i, use in enumerate(costing.materials):
        dearer = _put(costing.materials, i, replace(use, unit_cost=use.unit_cost * factor))
        yield f"price of {use.name}", case._replace(costing=replace(costing, materials=dearer))
    for i, use in enumerate(costing.packaging):
        dearer = _put(costing.packaging, i, replace(use, unit_cost=use.unit_cost * factor))
        yield f"price of {use.name}", case._replace(costing=replace(costing, packaging=dearer))
    for i, step in enumerate(costing.steps):
        slower = _put(costing.steps, i, replace(step, minutes=step.minutes * factor))
        yield f"time for {step.name}", case._replace(costing=replace(costing, steps=slower))
    yield "hourly rate", case._replace(costing=replace(costing, rate=costing.rate * factor))
    yield "scrap", case._replace(costing=replace(costing, scrap=costing.scrap * factor))
    month = replace(costing.overhead, per_month=costing.overhead.per_month * factor)
    yield "overhead per month", case._replace(costing=replace(costing, overhead=month))
    each = replace(costing.overhead, per_jar=costing.overhead.per_jar * factor)
    yield "overhead per jar", case._replace(costing=replace(costing, overhead=each))
    more = replace(costing.overhead, jars_per_month=costing.overhead.jars_per_month * factor)
    yield "jars a month", case._replace(costing=replace(costing, overhead=more))
    for i, fee in enumerate(channel.fees):
        share = _put(channel.fees, i, replace(fee, percent=fee.percent * factor))
        yield f"{fee.name} percentage", case._replace(channel=replace(channel, fees=share))
        fixed = _put(channel.fees, i, replace(fee, fixed=fee.fixed * factor))
        yield f"{fee.name} fee", case._replace(channel=replace(channel, fees=fixed))
    yield "margin", case._replace(margin=margin * factor)


def _put(things: tuple[Thing, ...], i: int, thing: Thing) -> tuple[Thing, ...]:
    return (*things[:i], thing, *things[i + 1 :])

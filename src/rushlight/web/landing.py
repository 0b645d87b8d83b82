"""What a delivery comes to, line by line, in whole coins that come to what stands under them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from rushlight.web.adding import adding_up
from rushlight.workshop.stores.receiving import LandedLine


@dataclass(frozen=True, slots=True)
class Landing:
    """A line of the table: goods and landed are None where the price was left empty."""

    of: LandedLine
    goods: Decimal | None
    freight: Decimal
    duty: Decimal
    landed: Decimal | None


@dataclass(frozen=True, slots=True)
class Landed:
    """The table, and what its columns come to. priced: whether every line has a price."""

    lines: tuple[Landing, ...]
    goods: Decimal
    freight: Decimal
    duty: Decimal
    landed: Decimal
    priced: bool


def landed(lines: Sequence[LandedLine], step: Decimal) -> Landed:
    """Return the table of a delivery. step: the smallest coin."""
    goods = _column([line.goods for line in lines], step)
    freight = adding_up([line.freight for line in lines], step)
    duty = adding_up([line.duty for line in lines], step)
    whole = _column([line.landed for line in lines], step)
    rows = zip(lines, goods, freight, duty, whole, strict=True)
    return Landed(
        tuple(Landing(*row) for row in rows),
        _sum(goods),
        _sum(freight),
        _sum(duty),
        _sum(whole),
        priced=all(cost is not None for cost in whole),
    )


def _column(values: Sequence[Decimal | None], step: Decimal) -> list[Decimal | None]:
    known = iter(adding_up([value for value in values if value is not None], step))
    return [None if value is None else next(known) for value in values]


def _sum(values: Sequence[Decimal | None]) -> Decimal:
    return sum((value for value in values if value is not None), Decimal(0))

"""What an order really cost: its freight and duty, spread over its lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from rushlight.cost.exact import LEDGER, ZERO, note_amount, share_out
from rushlight.errors import Problems


class SpreadBy(StrEnum):
    """What a charge follows: what the goods cost, or what they weigh."""

    VALUE = "value"
    MASS = "mass"


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of an order: its price in all, and its mass in any one unit."""

    name: str
    value: Decimal
    mass: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class LandedLine:
    """A line with its share of freight and duty; landed is all three together."""

    line: OrderLine
    freight: Decimal
    duty: Decimal

    @property
    def landed(self) -> Decimal:
        """Value, freight and duty of the line."""
        return self.line.value + self.freight + self.duty


def land(
    lines: Sequence[OrderLine],
    *,
    freight: Decimal = ZERO,
    duty: Decimal = ZERO,
    freight_by: SpreadBy = SpreadBy.MASS,
    duty_by: SpreadBy = SpreadBy.VALUE,
) -> tuple[LandedLine, ...]:
    """Return the lines with freight and duty spread over them, exact to 1/10 000.

    Shares sum to the charge to the last digit (largest remainder). Freight
    follows mass and duty value unless said otherwise. Raises BadInput.
    """
    problems = Problems()
    for i, line in enumerate(lines):
        note_amount(line.value, f"lines.{i}.value", "The price of the line", problems)
        note_amount(line.mass, f"lines.{i}.mass", "The mass of the line", problems)
    for place, charge in (("freight", freight), ("duty", duty)):
        if note_amount(charge, place, f"The {place}", problems) and charge % LEDGER != 0:
            problems.add(place, f"The {place} has more than four decimals.", "Round it to four.")
    problems.check()
    for place, charge, by in (("freight", freight, freight_by), ("duty", duty, duty_by)):
        if charge > 0 and not any(_weight(line, by) for line in lines):
            problems.add(
                place,
                f"The {place} cannot be spread by {by}: every line has a {by} of zero.",
                f"Give the {by} of the lines, or spread it by "
                f"{SpreadBy.MASS if by is SpreadBy.VALUE else SpreadBy.VALUE}.",
            )
    problems.check()
    freights, duties = _spread(lines, freight, freight_by), _spread(lines, duty, duty_by)
    return tuple(map(LandedLine, lines, freights, duties))


def _weight(line: OrderLine, by: SpreadBy) -> Decimal:
    return line.value if by is SpreadBy.VALUE else line.mass


def _spread(lines: Sequence[OrderLine], charge: Decimal, by: SpreadBy) -> tuple[Decimal, ...]:
    if charge == 0:
        return (ZERO,) * len(lines)
    return share_out(charge, [_weight(line, by) for line in lines])

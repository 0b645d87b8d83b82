"""How many jars a month carry the overhead."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from rushlight.cost.exact import ZERO, note_amount, note_positive
from rushlight.cost.jar import JarCost
from rushlight.cost.price import Priced
from rushlight.errors import Problems


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """What a further jar brings, and how many are needed.

    contribution: price less what a further jar costs, fees included.
    """

    price: Decimal
    variable: Decimal
    fixed: Decimal

    @property
    def contribution(self) -> Decimal:
        """What each jar brings towards the fixed costs; at or below zero none ever will."""
        return self.price - self.variable

    @property
    def ratio(self) -> Decimal:
        """Contribution as a share of the price [1]."""
        return self.contribution / self.price

    @property
    def jars(self) -> int | None:
        """Whole jars a month that carry the fixed costs; None where no number does."""
        return self.jars_for(ZERO)

    def jars_for(self, profit: Decimal) -> int | None:
        """Return the whole jars a month that leave a profit; None where no number does."""
        if self.fixed + profit <= 0:
            return 0
        if self.contribution <= 0:
            return None
        jars = (self.fixed + profit) / self.contribution
        return int(jars.to_integral_value(rounding=ROUND_CEILING))

    def profit_at(self, jars: Decimal) -> Decimal:
        """Return the profit of a month with that many jars sold; negative for a loss."""
        return jars * self.contribution - self.fixed


def break_even(*, price: Decimal, variable: Decimal, fixed: Decimal) -> BreakEven:
    """Return the break-even of one product. Raises BadInput.

    price: the maker's; variable: what each further jar costs, channel fees
    included (`JarCost.variable` + price − takings); fixed: costs of a month.
    """
    problems = Problems()
    note_positive(price, "price", "The price", problems)
    note_amount(variable, "variable", "The cost of a further jar", problems)
    note_amount(fixed, "fixed", "The fixed cost of a month", problems)
    problems.check()
    return BreakEven(price=price, variable=variable, fixed=fixed)


def of_jar(cost: JarCost, priced: Priced, *, fixed: Decimal) -> BreakEven:
    """Return the break-even of a jar sold at a price through a channel. Raises BadInput.

    A further jar costs its materials, packaging, scrap and labour, and what
    the channel keeps; fixed: costs of a month.
    """
    fees = priced.price - priced.takings
    return break_even(price=priced.price, variable=cost.variable + fees, fixed=fixed)

"""Why a pour cost more or less than planned: dearer material, or more of it.

Amounts are whole units of any one kind for each line (mg, pieces, seconds of work) and money is
whole 1/10 000, as the ledger keeps them, so that the two parts add up to the difference exactly.
A difference above 0 is a pour that cost more than planned.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rushlight.cost.exact import half_even
from rushlight.errors import Problems


@dataclass(frozen=True, slots=True)
class Spent:
    """An amount [whole units] and what it cost [1/10 000]; None where that is not known."""

    amount: int
    cost: int | None

    @property
    def known(self) -> int | None:
        """What it cost; nothing for none of it, whatever is known of its price."""
        return self.cost if self.amount else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Variance:
    """Planned beside actual for one material, and the difference split in two [1/10 000].

    price: (actual price − planned price) × actual amount; usage: (actual amount − planned amount)
    × planned price. Each is None where a cost that it follows from is not known.
    """

    name: str
    planned: Spent
    actual: Spent
    price: int | None
    usage: int | None

    @property
    def total(self) -> int | None:
        """Actual cost less planned cost: price and usage together."""
        return None if self.price is None or self.usage is None else self.price + self.usage


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """Several differences together [1/10 000]; unknown: the lines that could not be split."""

    price: int
    usage: int
    unknown: tuple[str, ...]

    @property
    def total(self) -> int:
        """Price and usage together, of the lines that are known."""
        return self.price + self.usage


def variance(name: str, *, planned: Spent, actual: Spent) -> Variance:
    """Return the difference between planned and actual, split into price and usage.

    The actual amount at the planned price is planned cost × actual amount / planned amount,
    rounded to the nearest 1/10 000, a half to the even one; price variance is the actual cost less
    that, usage variance is that less the planned cost, so they sum to the difference exactly.
    What was never planned has no planned price: it is all usage.

    planned, actual: amounts in the same unit, zero or more. Raises BadInput with every problem.
    Source: the direct material price and quantity variances of any text on cost accounting, such
    as Heisinger & Hoyle, Managerial Accounting, ch. 10 (chapter from memory).
    """
    problems = Problems()
    for place, spent in (("planned", planned), ("actual", actual)):
        _note_figures(place, spent, problems)
    problems.check()
    at_plan, paid, meant = _at_plan(planned, actual), actual.known, planned.known
    price = None if at_plan is None or paid is None else paid - at_plan
    usage = None if at_plan is None or meant is None else at_plan - meant
    return Variance(name=name, planned=planned, actual=actual, price=price, usage=usage)


def together(variances: Iterable[Variance]) -> Split:
    """Return the sums of the differences that are known, and the names of the others."""
    price = usage = 0
    unknown: list[str] = []
    for one in variances:
        if one.price is None or one.usage is None:
            unknown.append(one.name)
        else:
            price += one.price
            usage += one.usage
    return Split(price=price, usage=usage, unknown=tuple(unknown))


def _at_plan(planned: Spent, actual: Spent) -> int | None:
    """Return what the actual amount would have cost at the planned price."""
    if planned.amount == 0:
        return actual.known
    return None if planned.cost is None else half_even(planned.cost * actual.amount, planned.amount)


def _note_figures(place: str, spent: Spent, problems: Problems) -> None:
    if spent.amount < 0:
        problems.add(f"{place}.amount", "The amount is below zero.", "Give it as zero or more.")
    if spent.cost is not None and spent.cost < 0:
        problems.add(f"{place}.cost", "The cost is below zero.", "Give it as zero or more.")
    if spent.amount == 0 and spent.cost:
        problems.add(
            f"{place}.cost",
            "Something was paid for none of it.",
            "Give the amount that the cost is for.",
        )

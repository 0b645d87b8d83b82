"""Planned against actual, split into price and usage."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.variance import Spent, together, variance
from rushlight.errors import BadInput

AMOUNT, COST = st.integers(1, 10**9), st.integers(0, 10**10)
SPENT = st.one_of(st.builds(Spent, AMOUNT, COST), st.just(Spent(0, 0)))

# Hilton, Managerial Accounting, case 11-55 (author from memory) and its published solution: ounces
# planned for what was made and ounces used, at hundredths of the currency an ounce.
CASE = {
    "cookie mix": ((2_250_000, 2), (2_325_000, 2)),
    "milk chocolate": ((1_125_000, 15), (1_330_000, 20)),
    "almonds": ((225_000, 50), (240_000, 50)),
}


def spent(amount: int, hundredths: int) -> Spent:
    """Return an amount at a price."""
    return Spent(amount, amount * hundredths * 100)


def test_the_split_is_that_of_the_published_case() -> None:
    """Its solution: price 66,500 against her, usage 1,500, 30,750 and 7,500, 39,750 together."""
    lines = [
        variance(name, planned=spent(*planned), actual=spent(*actual))
        for name, (planned, actual) in CASE.items()
    ]
    assert [line.price for line in lines] == [0, 66_500_0000, 0]
    assert [line.usage for line in lines] == [1_500_0000, 30_750_0000, 7_500_0000]
    whole = together(lines)
    assert (whole.price, whole.usage, whole.unknown) == (66_500_0000, 39_750_0000, ())
    assert whole.total == 106_250_0000


def test_work_is_split_in_the_same_way() -> None:
    """The same case: baking took 400,000 minutes for 450,000 at 0.30, 15,000 in her favour."""
    baking = variance("baking", planned=spent(450_000, 30), actual=spent(400_000, 30))
    assert (baking.price, baking.usage) == (0, -15_000_0000)


@given(SPENT, SPENT)
def test_price_and_usage_are_the_whole_difference(planned: Spent, actual: Spent) -> None:
    """To the last 1/10 000."""
    split = variance("wax", planned=planned, actual=actual)
    assert planned.cost is not None
    assert actual.cost is not None
    assert split.total == actual.cost - planned.cost


@given(st.builds(Spent, AMOUNT, COST), st.builds(Spent, AMOUNT, COST))
def test_the_parts_are_those_of_the_formula(planned: Spent, actual: Spent) -> None:
    """In exact fractions: (price difference) × actual, (amount difference) × planned price."""
    assert planned.cost is not None
    assert actual.cost is not None
    meant = Fraction(planned.cost, planned.amount)
    paid = Fraction(actual.cost, actual.amount)
    split = variance("wax", planned=planned, actual=actual)
    assert split.price is not None
    assert split.usage is not None
    assert abs(split.price - (paid - meant) * actual.amount) <= Fraction(1, 2)
    assert abs(split.usage - (actual.amount - planned.amount) * meant) <= Fraction(1, 2)


@given(AMOUNT, COST, COST)
def test_the_planned_amount_leaves_only_price(amount: int, meant: int, paid: int) -> None:
    """And the planned price leaves only usage, within its rounding."""
    same = variance("wax", planned=Spent(amount, meant), actual=Spent(amount, paid))
    assert (same.usage, same.price) == (0, paid - meant)
    double = variance("wax", planned=Spent(amount, meant), actual=Spent(2 * amount, 2 * meant))
    assert (double.usage, double.price) == (meant, 0)


def test_what_was_never_planned_is_all_usage_and_what_was_not_used_too() -> None:
    """There is no planned price to compare with, or no price that was paid."""
    extra = variance("dye", planned=Spent(0, None), actual=Spent(5, 40))
    assert (extra.price, extra.usage) == (0, 40)
    saved = variance("dye", planned=Spent(5, 40), actual=Spent(0, None))
    assert (saved.price, saved.usage) == (0, -40)


def test_a_cost_that_is_not_known_is_never_nought() -> None:
    """What follows from it is not known; what does not, is; the sum names what it lacks."""
    unpaid = variance("wax", planned=Spent(10, 100), actual=Spent(12, None))
    assert (unpaid.price, unpaid.usage, unpaid.total) == (None, 20, None)
    unpriced = variance("oil", planned=Spent(10, None), actual=Spent(12, 90))
    assert (unpriced.price, unpriced.usage, unpriced.total) == (None, None, None)
    stray = variance("dye", planned=Spent(0, 0), actual=Spent(3, None))
    assert (stray.price, stray.usage) == (None, None)
    known = variance("wick", planned=Spent(1, 5), actual=Spent(1, 7))
    whole = together([unpaid, unpriced, known])
    assert (whole.price, whole.usage, whole.unknown) == (2, 0, ("wax", "oil"))


def test_every_wrong_figure_is_named_at_once() -> None:
    """Amounts and costs below nothing, and a cost of nothing at all."""
    with pytest.raises(BadInput) as wrong:
        variance("wax", planned=Spent(-1, -1), actual=Spent(0, 9))
    places = [problem.place for problem in wrong.value.problems]
    assert places == ["planned.amount", "planned.cost", "actual.cost"]

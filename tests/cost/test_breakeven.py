"""Break-even, with the worked example of an open textbook."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.breakeven import break_even, of_jar
from rushlight.cost.channel import consignment
from rushlight.cost.jar import Costing, Use, jar_cost
from rushlight.cost.overhead import Overhead
from rushlight.cost.price import at_price
from rushlight.errors import BadInput

D = Decimal
MONEY = st.decimals(D("0.01"), 1000, places=2)


def test_the_textbook_company_breaks_even_at_500_units() -> None:
    """Heisinger & Hoyle, Managerial Accounting (open textbook), ch. 6.

    Price 250, variable cost 150, fixed 50 000 a month: contribution 100, 500
    units to break even, 800 units for a profit of 30 000.
    """
    case = break_even(price=D(250), variable=D(150), fixed=D(50_000))
    assert case.contribution == 100
    assert case.ratio == D("0.4")
    assert case.jars == 500
    assert case.jars_for(D(30_000)) == 800
    assert case.profit_at(D(800)) == 30_000
    assert case.profit_at(D(500)) == 0


@given(MONEY, MONEY, MONEY)
def test_break_even_is_the_first_whole_jar_without_a_loss(
    price: Decimal, variable: Decimal, fixed: Decimal
) -> None:
    """One jar fewer is a loss; where every jar loses, there is none."""
    case = break_even(price=price, variable=variable, fixed=fixed)
    if case.jars is None:
        assert price <= variable
    else:
        assert case.profit_at(D(case.jars)) >= 0
        assert case.profit_at(D(case.jars - 1)) < 0


def test_no_fixed_cost_is_even_from_the_start() -> None:
    """Nothing to carry needs no jar, even one sold at a loss."""
    assert break_even(price=D(4), variable=D(5), fixed=D(0)).jars == 0


def test_a_jar_carries_its_channels_fees_but_not_its_overhead() -> None:
    """Cost 3 and 1 of overhead, sold at 10 with 40 % commission: a jar brings 10 − 4 − 3 = 3."""
    cost = jar_cost(
        Costing(
            materials=(Use("all", D(1), "piece", D(3)),),
            overhead=Overhead(per_month=D(100), jars_per_month=D(100)),
        )
    )
    priced = at_price(cost.total, consignment(percent=D("0.4")), price=D(10))
    case = of_jar(cost, priced, fixed=D(100))
    assert case.contribution == 3
    assert case.jars == 34


def test_bad_figures_are_named() -> None:
    """A price of zero, a negative variable cost, an endless fixed cost."""
    with pytest.raises(BadInput) as caught:
        break_even(price=D(0), variable=D(-1), fixed=D("Infinity"))
    assert [p.place for p in caught.value.problems] == ["price", "variable", "fixed"]

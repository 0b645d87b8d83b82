"""Freight and duty spread over an order."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.exact import LEDGER
from rushlight.cost.landed import OrderLine, SpreadBy, land
from rushlight.errors import BadInput

MONEY = st.decimals(0, 1000, places=4)
LINES = st.lists(
    st.builds(
        OrderLine,
        st.just("line"),
        st.decimals(Decimal("0.01"), 1000, places=2),
        st.decimals(Decimal("0.001"), 50, places=3),
    ),
    min_size=1,
    max_size=10,
)


def test_freight_follows_mass_and_duty_value() -> None:
    """30 kg and 10 kg share 8.00 of freight 6 : 2; 100 and 300 share 40.00 of duty 10 : 30."""
    wax = OrderLine("wax", Decimal(100), Decimal(30))
    oil = OrderLine("oil", Decimal(300), Decimal(10))
    landed = land([wax, oil], freight=Decimal(8), duty=Decimal(40))
    assert [line.freight for line in landed] == [6, 2]
    assert [line.duty for line in landed] == [10, 30]
    assert [line.landed for line in landed] == [116, 332]


@given(LINES, MONEY, MONEY, st.sampled_from(SpreadBy), st.sampled_from(SpreadBy))
def test_landed_lines_sum_to_goods_freight_and_duty(
    lines: list[OrderLine], freight: Decimal, duty: Decimal, by: SpreadBy, other: SpreadBy
) -> None:
    """Nothing is lost and nothing invented, whatever the charges follow."""
    landed = land(lines, freight=freight, duty=duty, freight_by=by, duty_by=other)
    goods = sum(line.value for line in lines)
    assert sum(line.landed for line in landed) == goods + freight + duty


@given(LINES, MONEY)
def test_splitting_a_line_in_two_changes_neither_the_total_nor_its_share(
    lines: list[OrderLine], freight: Decimal
) -> None:
    """The two halves together bear what the line bore, within the steps that rounding moves."""
    first = lines[0]
    half = OrderLine(first.name, first.value / 2, first.mass / 2)
    before = land(lines, freight=freight)
    after = land([half, half, *lines[1:]], freight=freight)
    assert sum(line.landed for line in after) == sum(line.landed for line in before)
    assert abs(after[0].freight + after[1].freight - before[0].freight) <= 2 * LEDGER


def test_a_charge_with_nothing_to_follow_is_refused_with_the_other_way() -> None:
    """Freight by mass over lines without mass: give the masses, or spread by value."""
    with pytest.raises(BadInput, match="spread it by value") as caught:
        land([OrderLine("wax", Decimal(10))], freight=Decimal(5))
    assert caught.value.problems[0].place == "freight"


def test_bad_figures_of_an_order_are_all_named() -> None:
    """Negative, not finite and too fine figures arrive together."""
    lines = [OrderLine("a", Decimal(-1), Decimal("NaN")), OrderLine("b", Decimal(1))]
    with pytest.raises(BadInput) as caught:
        land(lines, freight=Decimal("1.00001"), duty=Decimal("Infinity"))
    assert {p.place for p in caught.value.problems} == {
        "lines.0.value",
        "lines.0.mass",
        "freight",
        "duty",
    }

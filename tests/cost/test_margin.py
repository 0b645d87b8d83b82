"""What sold jars earned, by group."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.channel import direct, marketplace
from rushlight.cost.margin import (
    Margin,
    Sold,
    candle,
    candle_and_channel,
    channel,
    fees_of,
    margins,
    month,
    total,
)
from rushlight.cost.price import at_price
from rushlight.errors import BadInput

D = Decimal
MONEY = st.decimals(0, 10_000, places=4)
ROWS = st.lists(
    st.builds(
        Sold,
        candle=st.sampled_from(["Slipway", "Mooring", "Lamp"]),
        channel=st.sampled_from(["direct", "stall"]),
        day=st.dates(date(2026, 1, 1), date(2026, 12, 31)),
        jars=st.integers(1, 500),
        price=MONEY,
        fees=MONEY,
        cost=st.one_of(st.none(), MONEY),
    ),
    max_size=20,
)
# Invented; the sums are by hand.
SPRING = (
    Sold(
        candle="Slipway",
        channel="direct",
        day=date(2026, 4, 30),
        jars=2,
        price=D(20),
        fees=D(0),
        cost=D(8),
    ),
    Sold(
        candle="Slipway",
        channel="stall",
        day=date(2026, 5, 1),
        jars=1,
        price=D(10),
        fees=D("1.5"),
        cost=D("4.5"),
    ),
    Sold(
        candle="Mooring",
        channel="stall",
        day=date(2026, 5, 31),
        jars=4,
        price=D(32),
        fees=D(6),
        cost=D(28),
    ),
)


def test_a_jar_that_costs_4_and_sells_for_10_has_a_margin_of_60_percent() -> None:
    """Profit as a share of the price, by definition: 6 of 10, and 12 of 20 for two jars."""
    earned = total(SPRING[:1])
    assert (earned.takings, earned.profit, earned.margin) == (D(20), D(12), D("0.6"))


def test_the_groups_add_up_by_hand() -> None:
    """Slipway 30 − 1.5 − 12.5 = 16; Mooring 32 − 6 − 28 is a loss of 2; 14 of 62 together."""
    by_candle = margins(SPRING, candle)
    assert [(name, group.profit) for name, group in by_candle.items()] == [
        ("Mooring", D(-2)),
        ("Slipway", D(16)),
    ]
    assert by_candle["Mooring"].margin == D("-0.0625")
    assert {name: group.jars for name, group in margins(SPRING, channel).items()} == {
        "direct": 2,
        "stall": 5,
    }
    assert list(margins(SPRING, month)) == ["2026-04", "2026-05"]
    assert list(margins(SPRING, candle_and_channel)) == [
        ("Mooring", "stall"),
        ("Slipway", "direct"),
        ("Slipway", "stall"),
    ]
    assert total(SPRING).profit == D(14)


@given(ROWS)
def test_every_grouping_adds_up_to_the_same_total(rows: list[Sold]) -> None:
    """Jars, price, fees and known cost are all somewhere, once."""
    whole = total(rows)
    for groups in (margins(rows, candle), margins(rows, channel), margins(rows, month)):
        assert sum(group.jars for group in groups.values()) == whole.jars
        assert sum(group.price for group in groups.values()) == whole.price
        assert sum(group.fees for group in groups.values()) == whole.fees
        assert sum(group.known_cost for group in groups.values()) == whole.known_cost
        assert sum(group.unknown for group in groups.values()) == whole.unknown
        assert list(groups) == sorted(groups)


@given(ROWS)
def test_takings_are_fees_cost_and_profit_together(rows: list[Sold]) -> None:
    """Price = fees + cost + profit wherever every cost is known."""
    for group in margins(rows, candle_and_channel).values():
        assert group.price == group.fees + group.takings
        if group.cost is not None and group.profit is not None:
            assert group.takings == group.cost + group.profit


@given(
    st.integers(1, 500),
    st.decimals(D("0.5"), 500, places=2),
    st.decimals(0, 100, places=2),
    st.decimals(0, D("0.3"), places=3),
)
def test_a_margin_after_the_sale_is_the_margin_that_was_priced(
    jars: int, price: Decimal, cost: Decimal, percent: Decimal
) -> None:
    """Where the jars cost what was planned, `price.at_price` says the same of one jar."""
    through = marketplace(listing=D("0.18"), percent=percent, fixed=D("0.20"))
    row = Sold(
        candle="Slipway",
        channel=through.name,
        day=date(2026, 5, 1),
        jars=jars,
        price=jars * price,
        fees=fees_of(through, price=price, jars=jars),
        cost=jars * cost,
    )
    earned = total([row]).margin
    assert earned is not None
    # fees are rounded to 1/10 000 of the currency
    assert abs(earned - at_price(cost, through, price=price).margin) <= D("0.0001") / row.price


def test_fees_are_per_jar_and_rounded_to_the_ledger() -> None:
    """By hand: 3 × (0.065 × 9.99 + 0.38) = 3.08805, cut to the even 3.0880; direct takes none."""
    through = marketplace(listing=D("0.18"), percent=D("0.065"), fixed=D("0.20"))
    assert fees_of(through, price=D("9.99"), jars=3) == D("3.0880")
    assert fees_of(direct(), price=D("9.99"), jars=3) == 0


def test_one_unknown_cost_leaves_the_profit_unknown() -> None:
    """Never nought: the group says how many jars it waits for."""
    rows = [*SPRING, replace(SPRING[0], cost=None, jars=3)]
    groups = margins(rows, candle)
    slipway = groups["Slipway"]
    assert (slipway.unknown, slipway.known_cost) == (3, D("12.5"))
    assert (slipway.cost, slipway.profit, slipway.margin) == (None, None, None)
    assert groups["Mooring"].profit == D(-2)
    assert total(rows).profit is None


def test_a_jar_that_came_back_undoes_its_sale() -> None:
    """A row of figures below nought; an unknown one that came back stays unknown."""
    sale = SPRING[1]
    back = replace(sale, jars=-1, price=-sale.price, fees=-sale.fees, cost=D("-4.5"))
    nothing = total([sale, back])
    assert (nothing.jars, nothing.price, nothing.profit) == (0, D(0), D(0))
    assert nothing.margin is None
    assert total([replace(sale, cost=None), replace(back, cost=None)]).unknown == 2


def test_no_sales_are_no_margin() -> None:
    """An empty period is nought everywhere, and its margin is not a number to show."""
    assert margins([], candle) == {}
    assert total([]) == Margin(jars=0, price=D(0), fees=D(0), known_cost=D(0), unknown=0)
    assert total([]).margin is None


def test_every_figure_that_is_no_number_is_named_at_once() -> None:
    """With its row."""
    with pytest.raises(BadInput) as wrong:
        total([replace(SPRING[0], price=D("NaN")), replace(SPRING[1], cost=D("Infinity"))])
    assert [p.place for p in wrong.value.problems] == ["rows.0.price", "rows.1.cost"]

"""Price, margin and markup through every channel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rushlight.cost.channel import (
    Channel,
    Fee,
    Kind,
    consignment,
    direct,
    marketplace,
    shop,
    stall,
    wholesale,
)
from rushlight.cost.price import at_price, at_retail, for_margin, for_markup, for_profit
from rushlight.errors import BadInput

D = Decimal
TINY = D("1e-18")
COST = st.decimals(D("0.01"), 500, places=4)
SHARE = st.decimals(0, D("0.4"), places=4)
CHANNELS = st.builds(
    Channel,
    kind=st.just(Kind.MARKETPLACE),
    name=st.just("somewhere"),
    fees=st.lists(
        st.builds(Fee, st.just("fee"), st.decimals(0, D("0.15"), places=4), SHARE), max_size=3
    ).map(tuple),
    of_retail=st.decimals(D("0.2"), 1, places=2),
)


@given(COST, CHANNELS, SHARE)
def test_the_margin_asked_for_is_the_margin_at_that_price(
    cost: Decimal, channel: Channel, margin: Decimal
) -> None:
    """Price from margin, then margin at the price: the identity."""
    price = for_margin(cost, channel, margin=margin).price
    assert abs(at_price(cost, channel, price=price).margin - margin) < TINY


@given(COST, CHANNELS, st.decimals(0, 5, places=3))
def test_the_markup_asked_for_is_the_markup_at_that_price(
    cost: Decimal, channel: Channel, markup: Decimal
) -> None:
    """The same for markup, and profit is markup times cost."""
    priced = for_markup(cost, channel, markup=markup)
    assert priced.markup is not None
    assert abs(priced.markup - markup) < TINY
    assert abs(priced.profit - cost * markup) < TINY * 1000


@given(COST, CHANNELS, st.decimals(0, 50, places=2))
def test_the_profit_asked_for_is_left_after_the_fees(
    cost: Decimal, channel: Channel, profit: Decimal
) -> None:
    """Takings less cost is the profit; takings and fees are the price."""
    priced = for_profit(cost, channel, profit=profit)
    assert abs(priced.profit - profit) < TINY * 1000
    assert abs(priced.takings + sum(fee for _, fee in priced.fees) - priced.price) < TINY * 1000


@given(COST, CHANNELS, SHARE, st.decimals(0, 10, places=3))
def test_a_higher_cost_never_lowers_the_price(
    cost: Decimal, channel: Channel, margin: Decimal, more: Decimal
) -> None:
    """For a margin, a markup and a profit alike."""
    ways: tuple[Callable[[Decimal], Decimal], ...] = (
        lambda c: for_margin(c, channel, margin=margin).price,
        lambda c: for_markup(c, channel, markup=margin).price,
        lambda c: for_profit(c, channel, profit=D(3)).price,
    )
    for price_of in ways:
        assert price_of(cost + more) >= price_of(cost)


@given(COST, CHANNELS, st.decimals(0, D("0.1"), places=4), st.decimals(0, 2, places=3))
def test_higher_fees_never_raise_the_profit_nor_lower_the_price(
    cost: Decimal, channel: Channel, percent: Decimal, fixed: Decimal
) -> None:
    """Fees are monotone: at a price they take, for a margin they are passed on."""
    assume(channel.percent + percent < D("0.9"))
    dearer = replace(channel, fees=(*channel.fees, Fee("more", percent, fixed)))
    price = D(20)
    assert at_price(cost, dearer, price=price).profit <= at_price(cost, channel, price=price).profit
    margin = D("0.05")
    asked = for_margin(cost, dearer, margin=margin).price
    assert asked >= for_margin(cost, channel, margin=margin).price


def test_a_jar_costing_four_is_priced_as_makers_do() -> None:
    """Common practice: a jar costing about 4 is sold wholesale at 6–8 and retail at 10–14.

    That is 1.5–2 and 2.5–3.5 times the cost, so markups of 50–100 % and 150–250 %,
    and margins of a third to a half and of 60 to 71 %.
    """
    for markup, price in (("0.5", 6), ("1", 8), ("1.5", 10), ("2.5", 14)):
        assert for_markup(D(4), direct(), markup=D(markup)).price == price
    trade = wholesale(of_retail=D("0.5"))
    assert for_margin(D(4), trade, margin=D(1) / 3).price == pytest.approx(D(6))
    assert for_margin(D(4), trade, margin=D("0.5")).price == 8
    assert for_margin(D(4), direct(), margin=D("0.6")).price == 10
    assert at_price(D(4), direct(), price=D(14)).margin == pytest.approx(D("0.714285714"))


def test_margin_and_markup_are_told_apart_in_words() -> None:
    """Cost 4, price 10: margin 60 %, markup 150 %, and the sentence says which is of what."""
    words = at_price(D(4), direct(), price=D(10)).explain()
    assert words == (
        "Margin 60.0 % is profit as a share of the price; "
        "the same profit as a share of the cost is a markup of 150.0 %."
    )


def test_each_channel_takes_what_it_says() -> None:
    """A jar at 10 through every kind, by hand."""
    takings = {
        channel.kind: at_price(D(4), channel, price=D(10)).takings
        for channel in (
            direct(),
            stall(day=D(45), jars_a_day=D(25), percent=D("0.017")),  # 10 − 1.80 − 0.17
            shop(percent=D("0.015"), fixed=D("0.20"), jars_an_order=D(2)),  # 10 − 0.15 − 0.10
            marketplace(listing=D("0.16"), percent=D("0.10"), fixed=D("0.20")),  # 10 − 1.36
            wholesale(of_retail=D("0.5")),
            consignment(percent=D("0.40")),
        )
    }
    assert takings == {
        Kind.DIRECT: D(10),
        Kind.STALL: D("8.03"),
        Kind.SHOP: D("9.75"),
        Kind.MARKETPLACE: D("8.64"),
        Kind.WHOLESALE: D(10),
        Kind.CONSIGNMENT: D(6),
    }


def test_a_retail_price_reaches_the_maker_by_her_share() -> None:
    """14 in the shop at half retail is 7 for the maker; a least order of 60 takes 9 jars."""
    priced = at_retail(D(4), wholesale(of_retail=D("0.5"), minimum_order=D(60)), retail=D(14))
    assert (priced.price, priced.profit, priced.minimum_jars) == (D(7), D(3), 9)


def test_a_sale_at_a_loss_is_told_as_one() -> None:
    """Below cost the margin is negative; nothing is hidden or clipped."""
    priced = at_price(D(4), direct(), price=D(3))
    assert priced.profit == -1
    assert priced.margin < 0


def test_fees_and_margin_of_the_whole_price_are_refused() -> None:
    """40 % of fees and 60 % of margin leave nothing: the remedy names the limit."""
    with pytest.raises(BadInput, match=r"under 60\.0 %"):
        for_margin(D(4), consignment(percent=D("0.4")), margin=D("0.6"))


@pytest.mark.parametrize("bad", [D("1"), D("-0.1"), D("NaN"), D("Infinity")])
def test_a_margin_of_100_per_cent_or_nonsense_is_refused(bad: Decimal) -> None:
    """Each with the place and a remedy."""
    with pytest.raises(BadInput) as caught:
        for_margin(D(4), direct(), margin=bad)
    assert [p.place for p in caught.value.problems] == ["margin"]
    assert "under 100 %" in caught.value.problems[0].remedy


def test_bad_channels_are_refused_where_they_are_made() -> None:
    """Fees of 100 % or more, negative fees, no jars a day, a share of retail beyond all of it."""
    makers: dict[str, Callable[[], Channel]] = {
        "percent": lambda: consignment(percent=D("1.2")),
        "fixed": lambda: marketplace(listing=D(-1), percent=D(0)),
        "jars_a_day": lambda: stall(day=D(45), jars_a_day=D(0)),
        "jars_an_order": lambda: shop(percent=D(0), fixed=D(0), jars_an_order=D("NaN")),
        "of_retail": lambda: wholesale(of_retail=D(2)),
        "minimum_order": lambda: wholesale(of_retail=D("0.5"), minimum_order=D("Infinity")),
    }
    for place, make in makers.items():
        with pytest.raises(BadInput) as caught:
            make()
        assert place in {p.place for p in caught.value.problems}


def test_fees_that_together_take_everything_are_refused() -> None:
    """Two fees of 60 %: neither is wrong alone."""
    greedy = Channel(
        kind=Kind.MARKETPLACE, name="greedy", fees=(Fee("a", D("0.6")), Fee("b", D("0.6")))
    )
    with pytest.raises(BadInput, match="whole price"):
        at_price(D(4), greedy, price=D(10))


@pytest.mark.parametrize("bad", [D("0"), D("-4"), D("NaN")])
def test_a_price_of_nothing_is_refused(bad: Decimal) -> None:
    """There is no margin of a price of zero."""
    with pytest.raises(BadInput) as caught:
        at_price(D(4), direct(), price=bad)
    assert [p.place for p in caught.value.problems] == ["price"]

"""Packs, tiers and what a need of material costs."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.packs import Buying, Offer, Tier, buy, cheapest
from rushlight.errors import BadInput

WAX = Offer(
    unit="kg",
    size=Decimal(10),
    tiers=(Tier(1, Decimal(62)), Tier(5, Decimal(57)), Tier(10, Decimal(50))),
)
AMOUNT = st.decimals(Decimal("0.001"), 500, places=3)


def test_a_need_pays_its_part_of_a_pack_or_the_whole_pack() -> None:
    """2.04 kg of a 10 kg pack at 62: 12.648 pro rata (by hand), 62 when the rest is of no use."""
    part = buy(WAX, needed=Decimal("2.04"))
    assert (part.packs, part.cost, part.left_over) == (1, Decimal("12.648"), Decimal("7.96"))
    whole = buy(WAX, needed=Decimal("2.04"), buying=Buying.WHOLE_PACKS)
    assert whole.cost == whole.paid == Decimal(62)


def test_a_tier_holds_from_its_number_of_packs_on() -> None:
    """41 kg take five packs, so 5.70 a kilogram; 40 kg take four at 6.20."""
    assert buy(WAX, needed=Decimal(41)).unit_cost == Decimal("5.7")
    assert buy(WAX, needed=Decimal(40)).unit_cost == Decimal("6.2")


def test_more_packs_are_bought_where_they_cost_less_in_all() -> None:
    """81 kg: nine packs at 57 are 513, ten at 50 are 500, so ten are bought."""
    bought = buy(WAX, needed=Decimal(81), buying=Buying.WHOLE_PACKS)
    assert (bought.packs, bought.paid) == (10, Decimal(500))


def test_delivery_is_part_of_the_unit_cost() -> None:
    """62 and 4 of delivery for 10 kg are 6.60 a kilogram."""
    offer = Offer(unit="kg", size=Decimal(10), tiers=WAX.tiers, delivery=Decimal(4))
    assert offer.unit_cost() == Decimal("6.6")


def test_nothing_needed_costs_nothing() -> None:
    """No pack is opened for nothing."""
    bought = buy(WAX, needed=Decimal(0), buying=Buying.WHOLE_PACKS)
    assert (bought.packs, bought.paid, bought.cost) == (0, Decimal(0), Decimal(0))


@given(AMOUNT, AMOUNT)
def test_needing_more_never_makes_the_outlay_smaller(first: Decimal, more: Decimal) -> None:
    """Whole packs are bought at the least outlay, which grows with the need."""
    one = buy(WAX, needed=first, buying=Buying.WHOLE_PACKS)
    two = buy(WAX, needed=first + more, buying=Buying.WHOLE_PACKS)
    assert one.paid <= two.paid


@given(AMOUNT)
def test_the_packs_bought_cover_the_need(needed: Decimal) -> None:
    """What is left over is what was bought less what was needed, and never negative."""
    for buying in Buying:
        bought = buy(WAX, needed=needed, buying=buying)
        assert bought.left_over == bought.packs * WAX.size - needed
        assert bought.left_over >= 0
        assert bought.cost <= bought.paid


def test_the_cheaper_pack_size_depends_on_the_need() -> None:
    """A small pack for a little, a large one for much."""
    small = Offer.plain(unit="kg", size=Decimal(1), price=Decimal(9))
    large = Offer.plain(unit="kg", size=Decimal(10), price=Decimal(62))
    assert cheapest([small, large], needed=Decimal(2), buying=Buying.WHOLE_PACKS)[0] == 0
    assert cheapest([small, large], needed=Decimal(9), buying=Buying.WHOLE_PACKS)[0] == 1


def test_offers_in_different_units_are_not_compared() -> None:
    """A kilogram is no litre."""
    litre = Offer.plain(unit="l", size=Decimal(1), price=Decimal(9))
    with pytest.raises(BadInput, match="cannot be compared"):
        cheapest([WAX, litre], needed=Decimal(1), buying=Buying.PRO_RATA)


@pytest.mark.parametrize("bad", ["-1", "NaN", "Infinity", "1e12"])
def test_bad_figures_of_an_offer_are_all_named(bad: str) -> None:
    """Size, price, delivery and need, each at its place with a remedy."""
    value = Decimal(bad)
    offer = Offer(unit="kg", size=value, tiers=(Tier(1, value),), delivery=value)
    with pytest.raises(BadInput) as caught:
        buy(offer, needed=value)
    assert {p.place for p in caught.value.problems} == {"pack", "price", "delivery", "needed"}
    assert all(p.remedy for p in caught.value.problems)


def test_tiers_that_do_not_start_at_one_pack_are_refused() -> None:
    """The price of a single pack must be known, and each number named once."""
    for tiers in ((), (Tier(2, Decimal(1)),), (Tier(1, Decimal(1)), Tier(1, Decimal(2)))):
        with pytest.raises(BadInput, match="tiers"):
            buy(Offer(unit="kg", size=Decimal(1), tiers=tiers), needed=Decimal(1))

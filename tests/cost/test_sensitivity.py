"""What moves the price most."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rushlight.cost.channel import direct, marketplace
from rushlight.cost.jar import Costing, Use, jar_cost
from rushlight.cost.labour import Per, Step
from rushlight.cost.overhead import Overhead
from rushlight.cost.price import for_margin
from rushlight.cost.sensitivity import sensitivity
from rushlight.errors import BadInput

D = Decimal
COSTING = Costing(
    materials=(Use("wax", D(1), "kg", D(1)), Use("oil", D(1), "kg", D(2))),
    steps=(Step("pour", D(4), Per.JAR),),
    rate=D(15),
    overhead=Overhead(per_month=D(100), jars_per_month=D(200)),
)


def test_effects_are_those_of_moving_one_input_by_hand() -> None:
    """Cost 1 + 2 + 1 + 0.5 = 4.5, price 9 at 50 %: oil ±10 % moves it by 0.4, wax by 0.2."""
    effects = {e.name: e for e in sensitivity(COSTING, direct(), margin=D("0.5"))}
    assert effects["price of oil"].price == 9
    assert (effects["price of oil"].low, effects["price of oil"].high) == (D("8.6"), D("9.4"))
    assert effects["price of wax"].swing == D("0.2")
    assert effects["hourly rate"].swing == effects["time for pour"].swing == D("0.2")
    assert effects["overhead per month"].swing == D("0.1")


def test_effects_are_ranked_by_the_strongest_first() -> None:
    """At half the price the margin itself moves it most: 4.5/0.45 is 10."""
    effects = sensitivity(COSTING, direct(), margin=D("0.5"))
    swings = [effect.swing for effect in effects]
    assert swings == sorted(swings, reverse=True)
    assert effects[0].name == "margin"
    assert effects[0].high == 10


def test_more_jars_a_month_lower_the_price() -> None:
    """The one input that cheapens as it grows."""
    effects = {e.name: e for e in sensitivity(COSTING, direct(), margin=D("0.5"))}
    jars = effects["jars a month"]
    assert jars.low is not None
    assert jars.high is not None
    assert jars.high < jars.price < jars.low


def test_inputs_of_zero_are_left_out_and_fees_are_there() -> None:
    """No scrap, no scrap line; a marketplace's fees move the price."""
    channel = marketplace(listing=D("0.2"), percent=D("0.1"))
    names = {effect.name for effect in sensitivity(COSTING, channel, margin=D("0.3"))}
    assert {"listing fee", "commission percentage"} <= names
    assert not {"scrap", "commission fee", "overhead per jar"} & names


def test_a_move_that_leaves_no_price_ranks_first_and_says_none() -> None:
    """A margin of 92 %, a tenth up, takes the whole price."""
    effects = sensitivity(COSTING, direct(), margin=D("0.92"))
    assert effects[0].name == "margin"
    assert effects[0].high is None
    assert effects[0].swing == D("Infinity")


def test_the_price_is_that_of_the_margin() -> None:
    """The base of every effect is the price itself."""
    effects = sensitivity(COSTING, direct(), margin=D("0.5"))
    price = for_margin(jar_cost(COSTING).total, direct(), margin=D("0.5")).price
    assert {effect.price for effect in effects} == {price}


def test_a_change_of_all_is_refused() -> None:
    """Moving an input by 100 % or more is no small change."""
    with pytest.raises(BadInput) as caught:
        sensitivity(COSTING, direct(), margin=D("0.5"), change=D(1))
    assert [p.place for p in caught.value.problems] == ["change"]

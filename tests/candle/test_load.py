"""Fragrance load, both ways."""

from dataclasses import replace

import pytest
from hypothesis import given

from rushlight.candle.load import UNNAMED, of_total, of_wax, recipe
from rushlight.candle.parts import Load, LoadBasis, Oil
from rushlight.errors import BadInput
from rushlight.quantity.si import Fraction1
from tests.candle.support import floats, slipway


def test_eight_per_cent_of_the_wax_is_less_of_the_total() -> None:
    """8/108 = 7.407 % (arithmetic)."""
    load = Load(Fraction1(0.08), LoadBasis.WAX)
    assert of_total(load) == pytest.approx(0.07407, abs=5e-6)


def test_twelve_per_cent_of_the_wax_is_10_7_of_the_total() -> None:
    """Common practice: 3 oz of wax and 0.36 oz of oil, 3.36 oz in all, 10.7 % of the total."""
    assert of_total(Load(Fraction1(0.12), LoadBasis.WAX)) == pytest.approx(0.36 / 3.36)
    assert round(0.36 / 3.36 * 100, 1) == 10.7


@given(floats(0, 0.5), floats(0, 0.2))
def test_of_wax_to_of_total_and_back_is_the_same_load(amount: float, others: float) -> None:
    """The conversions undo each other, dyes and additives present."""
    total = of_total(Load(Fraction1(amount), LoadBasis.WAX), others=others)
    again = of_wax(Load(total, LoadBasis.TOTAL), others=others)
    assert again == pytest.approx(amount, rel=1e-12, abs=1e-15)


def test_a_load_of_all_of_the_total_is_refused() -> None:
    """No wax would be left."""
    with pytest.raises(BadInput):
        of_wax(Load(Fraction1(1.0), LoadBasis.TOTAL))


def test_a_load_of_the_total_counts_dye_and_additive() -> None:
    """The share of the whole mix is what was asked for, whatever else is in it."""
    load = Load(Fraction1(0.074), LoadBasis.TOTAL)
    mix = recipe(replace(slipway(), load=load))
    assert sum(mix.dyes) + sum(mix.additives) > 0
    assert mix.fragrance / mix.total == pytest.approx(0.074)


def test_a_blend_is_shared_out_by_parts() -> None:
    """Two parts and one part are two thirds and one third."""
    (_, first), (_, second) = recipe(slipway()).oils
    assert first == pytest.approx(2 * second)
    assert first + second == pytest.approx(0.08)


def test_a_load_before_an_oil_is_chosen_is_still_a_load() -> None:
    """A stand-in oil takes the load; without a load, oils take nothing."""
    assert recipe(replace(slipway(), oils=())).oils == ((UNNAMED, 0.08),)
    assert recipe(replace(slipway(), load=None)).oils == ()


def test_a_blend_without_parts_is_refused() -> None:
    """Nothing divided by nothing is no recipe."""
    with pytest.raises(BadInput) as caught:
        recipe(replace(slipway(), oils=(Oil(name="Tide", parts=0.0),)))
    assert caught.value.problems[0].place == "fragrance.oils"

"""Facts of the trade, all common practice, that the figures must meet."""

import pytest

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.parts import Candle
from rushlight.candle.weigh import weigh
from rushlight.quantity import parse
from tests.candle.support import slipway, typed

OUNCE = 0.028349523125  # kg, exact: NIST Handbook 44, App. C


def small_jar() -> Candle:
    """Return a 4 fl oz jar of soy with 12 % of wax, filled to 92 %.

    The fact of the trade does not say how full; 92 % is our reading of "a jar takes". Brim-full
    it would be 3.27 oz of wax, and 12 mm below the rim 2.6 oz, so that the fact lies between.
    """
    doc = typed(
        vessel={"brim": "4 fl oz", "height": "56 mm", "diameter": "52 mm"},
        fill={"percent": "92 %"},
        wax={"use": "soy container"},
        fragrance={"load": "12 %", "basis": "of wax"},
        dyes=[],
        additives=[],
    )
    return read(doc, built_in())


def test_a_four_fl_oz_jar_takes_about_three_ounces_of_soy() -> None:
    """3 oz of wax; at 12 % of it 0.36 oz of oil; 3.36 oz in all; 10.7 % of the total."""
    jar = weigh(small_jar())
    assert jar.wax_mass / OUNCE == pytest.approx(3.0, rel=0.03)
    assert jar.fragrance_mass / OUNCE == pytest.approx(0.36, rel=0.03)
    assert jar.fill_mass / OUNCE == pytest.approx(3.36, rel=0.03)
    assert jar.load_of_total == pytest.approx(0.107, abs=0.0005)


def test_three_ounces_lie_between_half_an_inch_of_headspace_and_the_brim() -> None:
    """However full the trade means, no fill that is usual is far from 3 oz."""
    doc = {"use": "small jar"}, {"load": "12 %", "basis": "of wax"}
    full, usual = (
        weigh(slipway(vessel=doc[0], fragrance=doc[1], fill={"headspace": head})).wax_mass / OUNCE
        for head in ("0 mm", "12 mm")
    )
    assert 2.5 < usual < 3.0 < full < 3.35


def test_three_ounces_of_wax_at_twelve_per_cent_are_exactly_that() -> None:
    """A net weight of 3.36 oz is 3 oz of wax and 0.36 oz of oil."""
    doc = typed(
        vessel={"brim": "4 fl oz"},
        fill={"net": "3.36 oz"},
        fragrance={"load": "12 %", "basis": "of wax"},
        dyes=[],
        additives=[],
    )
    jar = weigh(read(doc, built_in()))
    assert jar.wax_mass / OUNCE == pytest.approx(3.0, rel=1e-9)
    assert jar.fragrance_mass / OUNCE == pytest.approx(0.36, rel=1e-9)
    assert jar.fill_fraction < 1


def test_soy_is_brought_to_about_185_and_188_is_fine() -> None:
    """The addition aim is 185 °F, and 188 °F lies in the window."""
    add = slipway().wax.add
    assert add.aim == pytest.approx(parse.temperature("185 F"))
    assert add.low < parse.temperature("188 F") < add.high


def test_soy_is_poured_at_about_165_and_163_is_fine() -> None:
    """The pour aim is 165 °F, and 163 °F lies in the window."""
    pour = slipway(wax={"use": "soy container"}).wax.pour
    assert pour.aim == pytest.approx(parse.temperature("165 F"))
    assert pour.low < parse.temperature("163 F") < pour.high


def test_the_fragrance_is_stirred_in_for_one_to_two_minutes() -> None:
    """60 to 120 s."""
    stir = slipway().wax.stir
    assert (stir.low, stir.high) == (60.0, 120.0)


def test_soy_cures_about_a_week_and_paraffin_a_couple_of_days() -> None:
    """7 days and 2 days."""
    day = 86_400
    assert slipway().wax.cure.aim == 7.0 * day
    assert slipway(wax={"use": "paraffin container"}).wax.cure.aim == 2.0 * day


def test_the_wick_is_trimmed_to_a_quarter_inch() -> None:
    """6.35 mm."""
    assert slipway().wick.trim == pytest.approx(0.25 * 0.0254)

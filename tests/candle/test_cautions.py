"""Cautions: given where they are due, and not where they are not."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given

from rushlight.candle.parts import Candle, Finish, Oil
from rushlight.candle.sheet import Caution, Weight
from rushlight.candle.weigh import weigh
from rushlight.quantity.si import Fraction1, Kelvin, Metre
from tests.candle.support import candles, slipway

ADD = 273.15 + 85  # 185 °F, the aim for soy


def found(candle: Candle, place: str) -> list[Caution]:
    """Return the cautions of one place."""
    return [caution for caution in weigh(candle).cautions if caution.place == place]


def flash(kelvin: float | None, **changes: Any) -> list[Caution]:
    """Return what is said of a single oil with a flash point [K]."""
    oil = Oil(name="Tide", flash_point=None if kelvin is None else Kelvin(kelvin), **changes)
    return found(replace(slipway(), oils=(oil,)), "fragrance.oils.0.flash_point")


@pytest.mark.parametrize("below", [0.0, 5.0, 40.0])
def test_adding_at_or_above_the_flash_point_is_a_stop(below: float) -> None:
    """The vapour can be lit (29 CFR 1910.106(a)(19), our reading)."""
    (said,) = flash(ADD - below)
    assert said.weight is Weight.STOP
    assert "1910.106" in said.source


@pytest.mark.parametrize("above", [0.1, 8.0, 16.6])
def test_within_thirty_fahrenheit_degrees_of_it_is_a_caution(above: float) -> None:
    """30 °F = 16.7 K, 29 CFR 1910.106(a)(19)."""
    (said,) = flash(ADD + above)
    assert said.weight is Weight.CAUTION
    assert "open a window" in said.remedy


def test_beyond_the_margin_nothing_is_said() -> None:
    """16.7 K and more below the flash point."""
    assert flash(ADD + 16.7) == []


def test_an_unknown_flash_point_is_said_to_be_unknown() -> None:
    """It is never taken for high."""
    (said,) = flash(None)
    assert "unknown" in said.what
    assert "section 9" in said.remedy


def test_an_open_cup_reads_high() -> None:
    """The flash point is defined by a closed cup."""
    (said,) = flash(ADD + 30, flash_method="open cup")
    assert said.weight is Weight.NOTE


@pytest.mark.parametrize(
    ("max_load", "load", "source"),
    [
        ("8 %", "8 %", None),
        ("8 %", "8.1 %", "supplier"),
        (None, "10 %", None),
        (None, "11 %", "practice"),
    ],
)
def test_a_load_above_what_is_stated_or_usual_is_a_caution(
    max_load: str | None, load: str, source: str | None
) -> None:
    """The supplier's figure first; else what is usual for soy, 6 to 10 % (common practice)."""
    wax = {"use": "soy container"} | ({"max_load": max_load} if max_load else {})
    said = found(slipway(wax=wax, fragrance={"load": load, "basis": "of wax"}), "fragrance.load")
    assert [source in caution.source for caution in said if source] == ([True] if source else [])
    assert bool(said) == bool(source)


@pytest.mark.parametrize(
    ("gap", "weight"), [("10 mm", Weight.CAUTION), ("40 mm", Weight.NOTE), ("", Weight.CAUTION)]
)
def test_what_burns_near_the_rim_is_a_caution(gap: str, weight: Weight) -> None:
    """Also where nobody said how near."""
    ribbon = {"use": "ribbon", "rim_gap": gap}
    (said,) = found(slipway(finishes=[ribbon]), "finishes.0.rim_gap")
    assert said.weight is weight


def test_what_flakes_is_to_be_sealed_before_shipping() -> None:
    """Mineral flakes shed, a plain finish does not."""
    (said,) = found(slipway(), "finishes.0")
    assert "before shipping" in said.remedy
    plain = replace(slipway(), finishes=(Finish(name="band", pieces=1),))
    assert not found(plain, "finishes.0")
    assert not found(plain, "finishes.0.rim_gap")


@pytest.mark.parametrize(
    ("core", "weight"),
    [("none", None), ("paper", None), ("zinc", Weight.CAUTION), ("lead", Weight.STOP)],
)
def test_a_metal_core_names_the_lead_rule(core: str, weight: Weight | None) -> None:
    """16 CFR 1500.17(a)(13): more than 0.06 % lead in a metal core is banned."""
    said = found(slipway(wick={"use": "cotton flat", "core": core}), "wick.core")
    assert [(one.weight, one.source) for one in said] == (
        [(weight, "16 CFR 1500.17(a)(13)")] if weight else []
    )


@pytest.mark.parametrize(
    ("kind", "trim", "said"),
    [
        ("cotton flat", "1/4 in", False),
        ("cotton flat", "6 mm", False),
        ("cotton flat", "12 mm", True),
        ("wooden flat", "1/8 in", False),
        ("wooden flat", "1/4 in", True),
    ],
)
def test_a_wick_not_trimmed_as_usual_is_noted(kind: str, trim: str, *, said: bool) -> None:
    """1/4 in for cotton, 1/8 in for wood (common practice)."""
    assert bool(found(slipway(wick={"use": kind, "trim": trim}), "wick.trim")) is said


@pytest.mark.parametrize(
    ("headspace", "weights"),
    [
        ("15 mm", []),
        ("8 mm", [Weight.NOTE]),
        ("3.2 mm", [Weight.CAUTION]),
        ("1 mm", [Weight.CAUTION, Weight.CAUTION]),
    ],
)
def test_too_little_headspace_is_said(headspace: str, weights: list[Weight]) -> None:
    """Less than about 6 mm set is tight, less than 12 mm unusual, 3 mm hot spills."""
    said = found(slipway(fill={"headspace": headspace}), "fill.headspace")
    assert [caution.weight for caution in said] == weights


def test_a_vessel_that_can_burn_is_a_stop() -> None:
    """By its own fact or by its material's name."""
    for vessel in (
        {"use": "wooden bowl"},
        {"use": "straight tumbler", "material": "acrylic"},
        {"use": "straight tumbler", "combustible": "yes"},
    ):
        (said,) = found(slipway(vessel=vessel), "vessel.material")
        assert said.weight is Weight.STOP


def test_thin_glass_is_a_caution_and_a_thin_tin_is_not() -> None:
    """Glass may be unannealed (ASTM F2179)."""
    thin = found(slipway(vessel={"use": "straight tumbler", "wall": "1.5 mm"}), "vessel.wall")
    assert [said.weight for said in thin] == [Weight.CAUTION]
    assert not found(slipway(vessel={"use": "tin"}), "vessel.wall")
    assert not found(slipway(), "vessel.wall")


def test_glass_is_annealed_not_annealed_or_nobody_says() -> None:
    """ASTM F2179: a note where it is unknown, a caution where it is not, for glass alone."""
    for annealed, weights in (
        ({}, [Weight.NOTE]),
        ({"annealed": "no"}, [Weight.CAUTION]),
        ({"annealed": "yes"}, []),
    ):
        vessel = {"use": "straight tumbler", **annealed}
        assert [c.weight for c in found(slipway(vessel=vessel), "vessel.annealed")] == weights
    assert not found(slipway(vessel={"use": "tin"}), "vessel.annealed")


def test_a_vessel_too_small_for_its_wick_is_a_caution() -> None:
    """The wick's own range of diameters against the wax's 65 mm; three wicks share the area."""
    for suits, weights in (
        ("70-80 mm", [Weight.CAUTION]),
        ("60-70 mm", []),
        ("40-50 mm", [Weight.NOTE]),
    ):
        wick = {"use": "cotton flat", "suits": suits}
        assert [c.weight for c in found(slipway(wick=wick), "wick.suits")] == weights
    three = {"use": "cotton flat", "suits": "60-70 mm", "count": "3"}
    (said,) = found(slipway(wick=three), "wick.suits")
    assert "for each of 3 wicks" in said.what
    assert not found(slipway(), "wick.suits")


def test_a_porous_pot_is_to_be_sealed() -> None:
    """Concrete soaks up wax."""
    assert "Seal" in found(slipway(vessel={"use": "concrete pot"}), "vessel.material")[0].remedy


def test_a_brim_and_a_shape_that_disagree_are_told() -> None:
    """A stated 12 fl oz in a shape of 10 is said, and the shape unknown is said."""
    shape = {"height": "90 mm", "diameter": "65 mm", "material": "glass"}
    assert found(slipway(vessel={**shape, "brim": "12 fl oz"}), "vessel.brim")
    assert not found(slipway(vessel={**shape, "brim": "10 fl oz"}), "vessel.brim")
    (said,) = found(slipway(vessel={"brim": "8 fl oz"}), "vessel.height")
    assert "estimates" in said.what


def test_a_temperature_outside_the_waxs_own_window_is_told() -> None:
    """163 °F is inside the window for soy, 140 °F and 185 °F are not."""
    for pour, count in (("163 F", 0), ("140 F", 1), ("185 F", 1)):
        assert len(found(slipway(wax={"use": "soy container", "pour": pour}), "wax.pour")) == count
    said = found(slipway(wax={"use": "soy container", "add": "150 F"}), "wax.add")
    assert "below" in said[0].what


def test_a_scorching_wax_is_a_stop() -> None:
    """185 °C typed for 185 °F."""
    (said,) = found(slipway(wax={"use": "soy container", "add": "185 C"}), "wax.melt")
    assert said.weight is Weight.STOP


def test_a_pour_hotter_than_the_addition_is_told() -> None:
    """The scented wax would have to be heated again."""
    wax = {"use": "soy container", "pour": "200 F"}
    assert any("again" in said.what for said in found(slipway(wax=wax), "wax.pour"))


def test_one_wick_in_a_wide_bowl_is_noted() -> None:
    """Up to 125 mm three wicks are usual, to 80 mm one (common practice)."""
    wide = {"vessel": {"use": "wide bowl"}}
    assert found(slipway(**wide), "wick.count")
    assert not found(slipway(**wide, wick={"use": "cotton flat", "count": "3"}), "wick.count")
    assert not found(slipway(), "wick.count")
    assert found(slipway(wick={"use": "cotton flat", "count": "3"}), "wick.count")


@given(candles())
def test_every_caution_has_what_it_takes(candle: Candle) -> None:
    """Place, what, remedy and source; weightiest first; never a seal of approval."""
    said = weigh(candle).cautions
    order = [Weight.STOP, Weight.CAUTION, Weight.NOTE]
    assert [order.index(one.weight) for one in said] == sorted(
        order.index(one.weight) for one in said
    )
    for one in said:
        assert one.what.endswith((".", "!"))
        assert one.remedy.endswith(".")
        assert one.source
        words = f"{one.what} {one.remedy}".casefold()
        assert "complies" not in words
        assert " safe " not in words.replace("safety data sheet", "")


@given(candles())
def test_hot_wax_the_refrigerator_and_the_test_burn_are_always_there(candle: Candle) -> None:
    """No candle is without them."""
    words = " ".join(f"{one.what} {one.remedy}" for one in weigh(candle).cautions)
    for word in ("burns skin", "No refrigerator", "sinkholes", "wet spots", "test burn"):
        assert word in words


def test_metre_and_fraction_are_read_where_given() -> None:
    """A finish may be built by hand too, with its distance from the rim in metres."""
    ribbon = Finish(name="ribbon", pieces=1, combustible=True, rim_gap=Metre(0.01))
    candle = replace(slipway(), finishes=(ribbon,))
    assert "10 mm (0.39 in)" in found(candle, "finishes.0.rim_gap")[0].what
    wax = replace(candle.wax, max_load=Fraction1(0.05))
    assert "at most 5.0%" in found(replace(candle, wax=wax), "fragrance.load")[0].what

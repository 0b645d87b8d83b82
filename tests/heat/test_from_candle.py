"""From a candle's sheet to the heat models."""

from dataclasses import replace
from typing import Any

import pytest

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.parts import Thermal
from rushlight.candle.sheet import JarSheet
from rushlight.candle.weigh import weigh
from rushlight.errors import BadInput
from rushlight.heat.burn import once as burn_once
from rushlight.heat.enthalpy import ZERO, check
from rushlight.heat.from_candle import burning_of, setting_of, wax_of
from rushlight.heat.set import COARSE
from rushlight.heat.set import once as set_once
from rushlight.quantity.si import Kelvin


def sheet(**changes: Any) -> JarSheet:
    """Return the sheet of a plain soy candle, with whole sections changed."""
    document: dict[str, Any] = {
        "rushlight": 1,
        "name": "Test",
        "vessel": {
            "height": "90 mm",
            "diameter": "75 mm",
            "wall": "3 mm",
            "base": "6 mm",
            "material": "glass",
        },
        "fill": {"headspace": "12 mm"},
        "wax": {"use": "soy container"},
        "wick": {"count": "1"},
    }
    return weigh(read(document | changes, built_in()))


def test_a_sheet_becomes_a_setting_that_sets() -> None:
    """Fill height, pour temperature, wall and wax come over; a 3 in jar sets in hours."""
    jar = sheet()
    setting = setting_of(jar)
    assert setting.fill == pytest.approx(0.078)
    assert setting.pour == pytest.approx(float(jar.pour_at))
    assert setting.wax.latent == pytest.approx(jar.candle.wax.melting_heat)
    assert 3 * 3600 < set_once(setting, cell=COARSE).figures.whole < 7 * 3600


def test_a_sheet_becomes_a_candle_that_burns() -> None:
    """Its wax weighs what the sheet says it weighs, at the height it sets to."""
    jar = sheet()
    burning = burning_of(jar, grams_per_hour=4.0)
    figures, record, candle = burn_once(burning, seconds=3600.0)
    assert candle.columns.full[candle.grid.rings.volume > 0].sum() == pytest.approx(
        float(jar.fill_mass), rel=0.002
    )
    assert figures.left == pytest.approx(float(jar.fill_mass) - 4e-3, rel=0.002)
    assert record.times[-1] == pytest.approx(3600.0)


@pytest.mark.parametrize("kind", built_in().names("wax"))
def test_every_built_in_wax_has_heat_facts(kind: str) -> None:
    """Each kind of wax in the library can be set and burnt, near where it melts."""
    wax = wax_of(sheet(wax={"use": kind}).candle.wax)
    assert ZERO + 30 < wax.solidus < wax.liquidus < ZERO + 75
    assert 0.02 < wax.shrink < 0.15


def test_a_softer_wax_melts_lower() -> None:
    """A melting point on the sheet moves the transitions of its kind."""
    usual = wax_of(sheet().candle.wax)
    soft = wax_of(sheet(wax={"use": "soy container", "melts_at": "48 C"}).candle.wax)
    assert soft.liquidus == pytest.approx(usual.liquidus - 4.0)


SAID = {
    "heat_capacity": ("2300 J/(kg K)", "heat_liquid", 2300.0),
    "heat_capacity_set": ("1900 J/(kg K)", "heat_solid", 1900.0),
    "conductivity": ("0.15 W/(m K)", "conduct_liquid", 0.15),
    "conductivity_set": ("0.3 W/(m K)", "conduct_solid", 0.3),
    "melting_heat": ("160000 J/kg", "latent", 160e3),
    "solidus": ("40 C", "solidus", ZERO + 40),
    "liquidus": ("56 C", "liquidus", ZERO + 56),
}


@pytest.mark.parametrize("key", SAID)
@pytest.mark.parametrize("kind", ["soy container", "paraffin container", "beeswax", "palm"])
def test_what_she_types_of_the_wax_reaches_the_solver(key: str, kind: str) -> None:
    """Each fact goes before that of the kind, and the wax it makes is one that can be."""
    text, name, value = SAID[key]
    if key == "liquidus" and kind == "beeswax":
        text, value = "70 C", ZERO + 70  # 56 °C would be below its solidus
    wax = wax_of(sheet(wax={"use": kind, key: text}).candle.wax)
    assert getattr(wax, name) == pytest.approx(value)
    check(wax)


@pytest.mark.parametrize("kind", built_in().names("wax"))
def test_a_kind_sets_by_the_facts_of_its_own(kind: str) -> None:
    """What the library says of a kind is what the solver takes, down to the last figure."""
    facts = built_in().facts("wax", kind)
    assert facts is not None
    wax = wax_of(sheet(wax={"use": kind}).candle.wax)
    for key, (_, name, _) in SAID.items():
        figure = float(facts[key]["value"].split()[0])
        celsius = ZERO if key in {"solidus", "liquidus"} else 0.0
        assert getattr(wax, name) == pytest.approx(figure + celsius), key
    check(wax)


def test_a_better_conductor_sets_sooner() -> None:
    """The facts are not only carried: they change the forecast."""
    usual, better = (
        set_once(setting_of(sheet(wax={"use": "soy container"} | said)), cell=COARSE).figures
        for said in ({}, {"conductivity_set": "0.4 W/(m K)"})
    )
    assert better.whole < 0.95 * usual.whole


def test_a_melting_range_backwards_is_refused_before_it_is_computed() -> None:
    """Also where only one end is known and the other is the kind's: place and remedy."""
    wax = sheet().candle.wax
    for said, place in (
        (Thermal(solidus=Kelvin(ZERO + 60)), "wax.solidus"),
        (Thermal(liquidus=Kelvin(ZERO + 30)), "wax.liquidus"),
    ):
        with pytest.raises(BadInput, match="is above the liquidus") as caught:
            wax_of(replace(wax, thermal=said))
        assert [p.place for p in caught.value.problems] == [place]


def test_a_pure_substance_melts_at_one_temperature() -> None:
    """Solidus and liquidus may be the same, and the jar still sets."""
    same = {"use": "soy container", "solidus": "50 C", "liquidus": "50 C"}
    found = set_once(setting_of(sheet(wax=same)), cell=COARSE).figures
    assert 3 * 3600 < found.whole < 8 * 3600


def test_two_wicks_are_refused() -> None:
    """The burn model knows one wick in the middle, and says so."""
    with pytest.raises(BadInput, match="takes one wick"):
        burning_of(sheet(wick={"count": "2"}), grams_per_hour=4.0)

"""The built-in library of kinds."""

import subprocess
import sys
from typing import Any

import pytest

from rushlight.candle import kinds
from rushlight.candle.document import read
from rushlight.candle.facts import TYPICAL
from rushlight.candle.kinds import ROLES, built_in
from rushlight.candle.material import check
from rushlight.candle.weigh import weigh
from tests.candle.support import typed

EVERY = [(role, name) for role in ROLES for name in built_in().names(role)]

SOIL = {
    "vessel": {"vessel": {"use": "{}"}},
    "wax": {"wax": {"use": "{}"}},
    "fragrance": {"fragrance": {"load": "5 %", "basis": "of wax", "oils": [{"use": "{}"}]}},
    "dye": {"dyes": [{"use": "{}", "percent": "0.05 %"}]},
    "additive": {"additives": [{"use": "{}"}]},
    "wick": {"wick": {"use": "{}"}},
    "finish": {"finishes": [{"use": "{}"}]},
}


def put(value: Any, name: str) -> Any:
    """Return a nested value with the name put in."""
    if isinstance(value, dict):
        return {key: put(one, name) for key, one in value.items()}
    if isinstance(value, list):
        return [put(one, name) for one in value]
    return value.replace("{}", name)


def test_the_kinds_asked_for_are_there() -> None:
    """Waxes and wicks by the names of the trade."""
    shelf = built_in()
    assert shelf.names("wax") == (
        "soy container",
        "soy-coconut",
        "rapeseed-coconut",
        "paraffin container",
        "beeswax",
        "palm",
    )
    assert set(shelf.names("wick")) == {
        "cotton flat",
        "cotton square",
        "paper-cored",
        "wooden flat",
    }
    assert all(shelf.names(role) for role in ROLES)


@pytest.mark.parametrize(("role", "name"), EVERY)
def test_every_kind_has_an_origin_and_a_source_for_each_fact(role: str, name: str) -> None:
    """And every fact is one its role may have, within its bounds."""
    facts = built_in().facts(role, name)
    assert facts
    for fact in facts.values():
        assert fact["origin"] == TYPICAL
        assert fact["source"]
        assert fact["value"]
    check(role, facts, built_in())


@pytest.mark.parametrize(("role", "name"), [pair for pair in EVERY if pair[0] in SOIL])
def test_every_kind_makes_a_candle(role: str, name: str) -> None:
    """A candle of any kind can be weighed; a small fill suits every vessel."""
    doc = typed(fill={"percent": "70 %"}, **put(SOIL[role], name))
    jar = weigh(read(doc, built_in()))
    assert 0.01 < jar.fill_mass < 1.0


@pytest.mark.parametrize("name", built_in().names("wax"))
def test_a_wax_kind_hangs_together(name: str) -> None:
    """Windows hold their aims, and the temperatures come in their natural order.

    Liquid is lighter than set; solidus is below liquidus, liquidus below the pour, and
    fragrance is not added cooler than the pour.
    """
    facts = built_in().facts("wax", name)
    assert facts is not None
    wax = read(typed(wax={"use": name}), built_in()).wax
    for window in (wax.melt, wax.add, wax.pour):
        assert window.low <= window.aim <= window.high
    assert wax.density_hot < wax.density_set
    assert wax.pour.aim <= wax.add.aim <= wax.melt.high
    low, high = (float(facts[key]["value"].split()[0]) + 273.15 for key in ("solidus", "liquidus"))
    assert low < high <= wax.pour.low
    assert low < wax.melts_at < high + 1
    for key in ("heat_capacity_set", "conductivity", "conductivity_set", "viscosity"):
        assert key in facts


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # total shrinkage on setting, of the liquid, from the range of trade figures, all from
        # memory but paraffin: 1 - 770/880 = 12.5 % (data sheet of a nominal-60 °C paraffin)
        ("soy container", 0.02, 0.10),
        ("paraffin container", 0.10, 0.16),
        ("beeswax", 0.09, 0.15),
        ("palm", 0.02, 0.10),
    ],
)
def test_a_wax_shrinks_as_its_kind_does(name: str, low: float, high: float) -> None:
    """Set against poured volume."""
    jar = weigh(read(typed(wax={"use": name}, fragrance={}), built_in()))
    assert low < 1 - jar.set_volume / jar.fill_volume < high


def test_vessels_hold_what_their_name_says() -> None:
    """4 and 8 US fl oz tins and the 4 fl oz jar, within 2 % (NIST Handbook 44, App. C)."""
    for name, fluid_ounces in (("small tin", 4), ("tin", 8), ("small jar", 4)):
        vessel = read(typed(vessel={"use": name}, fill={"percent": "80 %"}), built_in()).vessel
        assert vessel.brim_volume == pytest.approx(fluid_ounces * 29.5735295625e-6, rel=0.02)


def test_a_name_is_found_whatever_its_case() -> None:
    """UV inhibitor, uv  inhibitor."""
    shelf = built_in()
    assert shelf.facts("additive", "uv  Inhibitor") == shelf.facts("additive", "UV inhibitor")
    assert shelf.facts("wax", "no such wax") is None
    assert shelf.facts("no such role", "soy container") is None
    assert shelf.names("no such role") == ()


def test_the_library_is_not_read_at_import() -> None:
    """Importing kinds opens no file; the cache is empty until it is asked."""
    code = (
        "from rushlight.candle import kinds; kinds.built_in();"
        "assert kinds._file.cache_info().currsize == 0;"
        "kinds.built_in().names('wax');"
        "assert kinds._file.cache_info().currsize == 1"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
    assert kinds._file is not None


def test_facts_cannot_be_changed_by_who_reads_them() -> None:
    """The library is shared, so it is read-only."""
    facts: Any = built_in().facts("wax", "beeswax")
    with pytest.raises(TypeError):
        facts["pour"] = "1 C"
    with pytest.raises(TypeError):
        facts["pour"]["value"] = "1 C"

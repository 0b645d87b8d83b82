"""From a candle's sheet to the heat models."""

from typing import Any

import pytest

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.sheet import JarSheet
from rushlight.candle.weigh import weigh
from rushlight.errors import BadInput
from rushlight.heat.burn import once as burn_once
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.from_candle import burning_of, setting_of, wax_of
from rushlight.heat.set import COARSE
from rushlight.heat.set import once as set_once


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


def test_two_wicks_are_refused() -> None:
    """The burn model knows one wick in the middle, and says so."""
    with pytest.raises(BadInput, match="takes one wick"):
        burning_of(sheet(wick={"count": "2"}), grams_per_hour=4.0)

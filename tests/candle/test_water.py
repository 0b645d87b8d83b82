"""Water as a measure of volume."""

import pytest
from hypothesis import given

from rushlight.candle.water import ICE, density, volume
from rushlight.errors import BadInput
from rushlight.quantity.si import Kelvin, Kilogram
from tests.candle.support import floats

# CRC Handbook of Chemistry and Physics, density of water at 101.325 kPa (IAPWS-95), kg/m³,
# with the digits printed there.
CRC = [
    (0, 999.8395, 0.005),
    (4, 999.9720, 0.005),
    (10, 999.7026, 0.005),
    (15, 999.1026, 0.005),
    (20, 998.2071, 0.005),
    (22, 997.7735, 0.005),
    (25, 997.0479, 0.005),
    (30, 995.6502, 0.005),
    (40, 992.2, 0.05),
    (50, 988.03, 0.01),
    (60, 983.2, 0.05),
    (80, 971.8, 0.05),
    (100, 958.4, 0.05),
]


@pytest.mark.parametrize(("celsius", "published", "within"), CRC)
def test_the_density_is_the_published_one(celsius: float, published: float, within: float) -> None:
    """CRC Handbook table, to its printed digits or 0.005 kg/m³."""
    assert density(Kelvin(ICE + celsius)) == pytest.approx(published, abs=within)


def test_water_is_densest_at_four_degrees() -> None:
    """The maximum lies at 3.98 °C (CRC Handbook)."""
    tenths = [density(Kelvin(ICE + t / 10)) for t in range(101)]
    assert tenths.index(max(tenths)) in {39, 40, 41}


@given(floats(0.001, 10), floats(273.15, 373.15))
def test_volume_times_density_is_the_mass(mass: float, at: float) -> None:
    """The volume undoes the density."""
    assert volume(Kilogram(mass), Kelvin(at)) * density(Kelvin(at)) == pytest.approx(mass)


@pytest.mark.parametrize("at", [200.0, 273.0, 400.0, float("nan"), float("inf")])
def test_ice_and_steam_are_refused(at: float) -> None:
    """Water is weighed as a liquid."""
    with pytest.raises(BadInput, match="between 0 and 100 °C"):
        density(Kelvin(at))

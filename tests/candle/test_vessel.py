"""How much a vessel holds, and which figure is believed."""

import pytest
from hypothesis import given

from rushlight.candle import water
from rushlight.candle.parts import VolumeFrom
from rushlight.candle.profile import Profile, straight
from rushlight.candle.vessel import Make, assumed, vessel
from rushlight.errors import BadInput
from rushlight.quantity.si import CubicMetre, Kelvin, Kilogram, Metre
from tests.candle.support import floats, profiles

JAR = Make(name="jar")
SHAPE = straight(depth=Metre(0.09), diameter=Metre(0.066))


@given(profiles(), floats(273.15, 373.15))
def test_water_weighed_and_profile_agree(profile: Profile, at: float) -> None:
    """The water a measured shape holds, put on a scale, gives the same volume back."""
    mass = Kilogram(profile.brim_volume * water.density(Kelvin(at)))
    weighed = vessel(JAR, water_mass=mass, water_at=Kelvin(at))
    measured = vessel(JAR, profile=profile)
    assert weighed.brim_volume == pytest.approx(measured.brim_volume, rel=1e-12)
    assert (weighed.volume_from, measured.volume_from) == (VolumeFrom.WATER, VolumeFrom.PROFILE)


def test_water_overrules_a_stated_volume_and_both_overrule_the_shape() -> None:
    """Weighed beats stated beats measured with a ruler; the shape stays for heights."""
    stated, mass = CubicMetre(300e-6), Kilogram(0.290)
    both = vessel(JAR, profile=SHAPE, stated=stated, water_mass=mass)
    assert both.brim_volume == pytest.approx(0.290 / 998.2071, rel=1e-5)  # CRC, 20 °C
    assert both.volume_from is VolumeFrom.WATER
    only_stated = vessel(JAR, profile=SHAPE, stated=stated)
    assert only_stated.brim_volume == stated
    assert only_stated.profile is SHAPE
    assert only_stated.volume_below(SHAPE.depth) == pytest.approx(stated)
    assert only_stated.volume_below(Metre(0.045)) == pytest.approx(stated / 2)


@given(profiles(), floats(0.5, 2), floats(0, 1))
def test_heights_and_volumes_agree_in_a_scaled_vessel(
    profile: Profile, ratio: float, share: float
) -> None:
    """height_at undoes volume_below where the brim volume overrules the shape."""
    jar = vessel(JAR, profile=profile, stated=CubicMetre(profile.brim_volume * ratio))
    height = Metre(profile.depth * share)
    assert jar.height_at(jar.volume_below(height)) == pytest.approx(height, abs=1e-9)


def test_a_volume_alone_is_drawn_as_a_plain_jar_and_says_so() -> None:
    """The assumed jar holds the volume; its heights are not to be trusted."""
    jar = vessel(JAR, stated=CubicMetre(250e-6))
    assert jar.shape_known is False
    assert jar.profile.brim_volume == pytest.approx(250e-6)
    assert assumed(CubicMetre(250e-6)) == jar.profile


def test_a_typical_shape_grows_as_a_whole() -> None:
    """A kind's shape is made larger in every direction; then it is only assumed."""
    doubled = CubicMetre(SHAPE.brim_volume * 8)
    jar = vessel(JAR, profile=SHAPE, stated=doubled, typical_shape=True)
    assert jar.profile.depth == pytest.approx(2 * SHAPE.depth)
    assert jar.shape_known is False
    same = vessel(JAR, profile=SHAPE, stated=SHAPE.brim_volume, typical_shape=True)
    assert same.shape_known is True


def test_nothing_known_is_an_error_that_says_what_to_measure() -> None:
    """Place and remedy name the brim volume."""
    with pytest.raises(BadInput) as caught:
        vessel(JAR)
    assert caught.value.problems[0].place == "brim"
    assert "water" in caught.value.problems[0].remedy

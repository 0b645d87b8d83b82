"""The inside of a vessel: volumes and heights."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.profile import Profile, Station, shouldered, straight, tapered
from rushlight.errors import BadInput
from rushlight.quantity.si import CubicMetre, Metre
from tests.candle.support import profiles


def test_a_straight_vessel_is_a_cylinder() -> None:
    """The volume is base times height (elementary geometry)."""
    jar = straight(depth=Metre(0.1), diameter=Metre(0.08))
    assert jar.brim_volume == pytest.approx(pi * 0.04**2 * 0.1, rel=1e-14)
    assert jar.diameter_at(Metre(0.05)) == pytest.approx(0.08)


def test_a_tapered_vessel_is_a_cone_less_its_tip() -> None:
    """A frustum is a cone minus a similar smaller cone: a derivation of its own."""
    jar = tapered(depth=Metre(0.1), base_diameter=Metre(0.05), diameter=Metre(0.10))
    whole = pi * 0.05**2 * 0.2 / 3
    assert jar.brim_volume == pytest.approx(whole * (1 - 1 / 8), rel=1e-14)


def test_a_shouldered_jar_is_body_and_shoulder() -> None:
    """Body cylinder plus shoulder frustum."""
    jar = shouldered(
        depth=Metre(0.12),
        diameter=Metre(0.08),
        shoulder_height=Metre(0.09),
        neck_diameter=Metre(0.04),
    )
    shoulder = pi * 0.04**2 * 0.06 / 3 * (1 - 1 / 8)
    assert jar.brim_volume == pytest.approx(pi * 0.04**2 * 0.09 + shoulder, rel=1e-14)
    assert jar.diameter_at(Metre(0.105)) == pytest.approx(0.06)


@given(profiles(), st.floats(0, 1))
def test_height_at_undoes_volume_below(profile: Profile, share: float) -> None:
    """height_at(volume_below(h)) is h, for any stack of frustums."""
    height = Metre(profile.depth * share)
    again = profile.height_at(profile.volume_below(height))
    assert again == pytest.approx(height, abs=1e-9 * profile.depth)


@given(profiles(), st.floats(0, 1))
def test_volume_below_undoes_height_at(profile: Profile, share: float) -> None:
    """volume_below(height_at(v)) is v."""
    volume = CubicMetre(profile.brim_volume * share)
    again = profile.volume_below(profile.height_at(volume))
    assert again == pytest.approx(volume, abs=1e-12 * profile.brim_volume, rel=1e-9)


@given(st.floats(1e-16, 1e-3), st.floats(0.01, 0.99))
def test_a_hair_of_taper_does_not_upset_the_inverse(taper: float, share: float) -> None:
    """Between straight and tapered there is no loss of digits."""
    jar = tapered(depth=Metre(0.1), base_diameter=Metre(0.07), diameter=Metre(0.07 + taper))
    height = Metre(0.1 * share)
    assert jar.height_at(jar.volume_below(height)) == pytest.approx(height, rel=1e-12)


@given(profiles(), st.floats(0.1, 10))
def test_a_similar_vessel_holds_the_cube_of_the_ratio(profile: Profile, ratio: float) -> None:
    """Volumes of similar solids go with the cube of their lengths."""
    volume = profile.similar(ratio).brim_volume
    assert volume == pytest.approx(profile.brim_volume * ratio**3, rel=1e-12)


def test_what_is_no_vessel_is_refused_with_every_reason() -> None:
    """Heights that fall and a diameter of nothing are both reported, each in its place."""
    stations = (
        Station(Metre(0.0), Metre(0.05)),
        Station(Metre(0.04), Metre(0.0)),
        Station(Metre(0.03), Metre(0.05)),
    )
    with pytest.raises(BadInput) as caught:
        Profile(stations)
    assert [problem.place for problem in caught.value.problems] == ["1", "2"]


@pytest.mark.parametrize("heights", [(), (0.0,), (0.01, 0.05), (0.0, float("nan"))])
def test_a_profile_begins_at_the_base_and_reaches_a_brim(heights: tuple[float, ...]) -> None:
    """One height, a raised start or a height that is no number is no profile."""
    with pytest.raises(BadInput):
        Profile(tuple(Station(Metre(height), Metre(0.05)) for height in heights))


@pytest.mark.parametrize("height", [-0.001, 0.11, float("nan")])
def test_a_height_outside_the_vessel_is_refused(height: float) -> None:
    """Neither below the base nor above the brim."""
    jar = straight(depth=Metre(0.1), diameter=Metre(0.08))
    with pytest.raises(BadInput):
        jar.volume_below(Metre(height))
    with pytest.raises(BadInput):
        jar.diameter_at(Metre(height))

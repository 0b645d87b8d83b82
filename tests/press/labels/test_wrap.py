"""A label around the jar."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest

from rushlight.candle.parts import Vessel, VolumeFrom
from rushlight.candle.profile import Profile, shouldered, straight, tapered
from rushlight.errors import BadInput
from rushlight.press.labels import fit
from rushlight.press.labels.fire import Style, Warn
from rushlight.press.labels.front import Front
from rushlight.press.labels.wrap import around, wrapped
from rushlight.quantity.si import Metre

INCH = 0.0254  # m, exact (NIST Handbook 44, Appendix C)


def vessel(profile: Profile, wall: float = 0.003) -> Vessel:
    """Return a vessel of a profile."""
    return Vessel(
        name="a jar",
        profile=profile,
        brim_volume=profile.brim_volume,
        volume_from=VolumeFrom.PROFILE,
        shape_known=True,
        wall=Metre(wall),
        base=Metre(0.005),
        material="glass",
    )


def test_the_panel_of_a_cylinder_is_forty_percent_of_its_side() -> None:
    """16 CFR 500.21, worked by hand: 3 in × 3.5 in gives 13.19 in² and an eighth of an inch."""
    jar = vessel(straight(depth=Metre(4 * INCH), diameter=Metre(3 * INCH - 0.006)))
    band = around(jar, height=Metre(3.5 * INCH), overlap=Metre(0.006))
    assert band.circumference == pytest.approx(pi * 76.2)
    assert band.area / INCH**2 == pytest.approx(13.19, abs=0.005)
    assert band.panel == pytest.approx(0.4 * pi * 76.2)
    assert band.type_height.inches == "1/8"
    assert band.outline.width == pytest.approx(pi * 76.2 + 6.0)


def test_a_strip_may_not_go_beyond_the_side() -> None:
    """Neither over the rim nor under the base."""
    jar = vessel(straight(depth=Metre(0.08), diameter=Metre(0.07)))
    assert around(jar, height=Metre(0.075)).height == pytest.approx(75.0)
    for height, start in ((0.0751, 0.005), (0.05, -0.001), (-0.01, 0.005), (float("nan"), 0.0)):
        with pytest.raises(BadInput) as raised:
            around(jar, height=Metre(height), above_base=Metre(start))
        assert raised.value.problems[0].place == "height"


def test_a_tapered_jar_asks_for_an_arc_and_says_which() -> None:
    """A cone's side unrolls to a ring: its radii are slant heights from the apex."""
    jar = vessel(tapered(depth=Metre(0.1), base_diameter=Metre(0.06), diameter=Metre(0.08)), 0.0)
    # the whole side: apex 0.3 m below the base, so slants are (0.3, 0.4) × √(1 + 0.1²)
    with pytest.raises(BadInput, match="radii 301 mm and 402 mm"):
        around(jar, height=Metre(0.1), above_base=Metre(0.0))


def test_a_hardly_tapered_jar_takes_a_straight_strip() -> None:
    """Half a millimetre between its edges creases nothing (common practice)."""
    jar = vessel(tapered(depth=Metre(0.1), base_diameter=Metre(0.0799), diameter=Metre(0.08)))
    assert around(jar, height=Metre(0.08)).circumference == pytest.approx(pi * 86, abs=0.2)


def test_a_shoulder_is_no_place_for_a_label() -> None:
    """Shoulders and necks do not count (16 CFR 500.21), and paper does not follow them."""
    jar = vessel(
        shouldered(
            depth=Metre(0.1),
            diameter=Metre(0.08),
            shoulder_height=Metre(0.07),
            neck_diameter=Metre(0.06),
        )
    )
    assert around(jar, height=Metre(0.06)).height == pytest.approx(60.0)
    with pytest.raises(BadInput, match="creases"):
        around(jar, height=Metre(0.08))


def test_the_front_stands_on_its_panel_in_the_middle() -> None:
    """Left and right of it the rest, and the overlap empty."""
    jar = vessel(straight(depth=Metre(0.09), diameter=Metre(0.076)))
    band = around(jar, height=Metre(0.075))
    front = Front(name="Slipway", net="Net Wt 8 oz (226 g)", panel=band.type_height)
    label = wrapped(
        band,
        front=front.label(replace(band.outline, width=band.panel)),
        left=Warn(style=Style.WORDS).parts(),
        right=Warn(style=Style.SIGNS).parts(),
    )
    fit.check(label)
    row = label.parts[0]
    shares = row.shares  # type: ignore[union-attr]
    assert sum(shares) == pytest.approx(band.outline.width - 2 * band.outline.margin)
    middle = band.outline.margin + shares[0] + shares[1] + shares[2] / 2
    assert middle == pytest.approx(band.circumference / 2)
    assert shares[-1] == pytest.approx(band.overlap)


def test_the_thirty_percent_rule_holds_on_a_strip_too() -> None:
    """16 CFR 500.6 (from memory): a strip too low for its letters is refused."""
    jar = vessel(straight(depth=Metre(0.09), diameter=Metre(0.076)))
    band = around(jar, height=Metre(0.036))
    front = Front(name="S", net="Net Wt 8 oz (226 g)", panel=band.type_height)
    strip = wrapped(band, front=front.label(replace(band.outline, width=band.panel)))
    with pytest.raises(BadInput, match="bottom 30%"):
        fit.check(strip)


def test_a_jar_too_thin_for_the_rest_is_refused() -> None:
    """Then it goes under the base."""
    jar = vessel(straight(depth=Metre(0.09), diameter=Metre(0.012)), 0.001)
    band = around(jar, height=Metre(0.06))
    front = Front(name="S", net="5 g").label(replace(band.outline, width=band.panel))
    with pytest.raises(BadInput, match="no room"):
        wrapped(band, front=front, left=Warn().parts(), gap=11.0)

"""What the front declares."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rushlight.candle.parts import Vessel, VolumeFrom
from rushlight.candle.profile import tapered
from rushlight.errors import BadInput
from rushlight.press.labels import fit, net
from rushlight.press.labels.design import TIE, Outline
from rushlight.press.labels.front import Front
from rushlight.quantity.si import Kilogram, Metre

PROFILE = tapered(depth=Metre(0.085), base_diameter=Metre(0.066), diameter=Metre(0.0702))
JAR = Vessel(
    name="a jar",
    profile=PROFILE,
    brim_volume=PROFILE.brim_volume,
    volume_from=VolumeFrom.PROFILE,
    shape_known=True,
    wall=Metre(0.003),
    base=Metre(0.0039),
    material="glass",
)


def test_a_us_front_declares_ounces_and_grams_rounded_down() -> None:
    """226.796 g is 8 oz and 226 g (16 CFR 500.19); 3 in × 3.5 in asks for 1/8 in (500.21)."""
    declared = net.for_us(Kilogram(0.226796), JAR)
    assert declared.text == "Net Wt 8 oz (226 g)"
    assert declared.panel is not None
    # outside 76.2 mm × 88.9 mm: 13.19 in² by hand, 0.4 × 3.5 × 9.4248
    assert declared.panel.area / 0.0254**2 == pytest.approx(13.19, abs=0.01)
    assert declared.panel.inches == "1/8"
    front = Front(name="Slipway", net=declared.text, panel=declared.panel)
    fit.check(front.label(Outline(width=80.0, height=80.0)))
    assert net.for_us(Kilogram(0.2267), JAR).text.startswith("Net Wt 7.9 oz")


@pytest.mark.parametrize(
    ("grams", "shown", "figures"),
    [
        (Decimal("220.999"), 220, 4.0),  # heights of figures: 76/211/EEC (from memory)
        (Decimal("220.0"), 220, 4.0),
        (Decimal("200.4"), 200, 3.0),
        (Decimal("50.9"), 50, 2.0),
        (Decimal(1500), 1500, 6.0),
    ],
)
def test_a_metric_front_never_overstates(grams: Decimal, shown: int, figures: float) -> None:
    """Whole grams, rounded down; the ℮ only where it is asked for."""
    mass = Kilogram(float(grams / 1000))
    declared = net.metric(mass, net.Mark.ESTIMATED)
    assert declared.text == f"{shown}{TIE}g{TIE}℮"
    assert declared.marking is not None
    assert declared.marking.figures == pytest.approx(figures * 1e-3)
    assert net.metric(mass).text == f"{shown}{TIE}g"


@pytest.mark.parametrize("mass", [0.0049, 10.2, 0.0, -1.0])
def test_a_mass_beyond_the_scope_is_refused(mass: float) -> None:
    """5 g to 10 kg (76/211/EEC)."""
    with pytest.raises(BadInput, match="scope"):
        net.metric(Kilogram(mass))

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.hazard.netcontents.declare import from_grams, from_ounces, holds
from rushlight.hazard.netcontents.emark import marking
from rushlight.hazard.netcontents.panel import cylinder, other, rectangle, type_height
from rushlight.quantity.si import Kilogram, Metre

INCH = 0.0254


@pytest.mark.parametrize(
    ("ounces", "text"),
    [
        ("8", "Net Wt 8 oz (226 g)"),
        ("6.5", "Net Wt 6.5 oz (184 g)"),
        ("10", "Net Wt 10 oz (283 g)"),
        ("20", "Net Wt 1 lb 4 oz (566 g)"),
        ("16", "Net Wt 1 lb (453 g)"),
        ("40", "Net Wt 2 lb 8 oz (1.13 kg)"),
        ("2", "Net Wt 2 oz (56.6 g)"),
    ],
)
def test_ounces_lead_and_grams_are_rounded_down(ounces: str, text: str) -> None:
    """16 CFR 500.19: 8 oz × 28.3495 = 226.796 g is printed 226 g, never 227 (arithmetic)."""
    assert from_ounces(Decimal(ounces)).text == text


def test_grams_lead_and_ounces_are_rounded_down() -> None:
    """180 g × 0.0352740 = 6.349 oz is printed 6.3 oz (arithmetic)."""
    assert from_grams(Decimal(180)).text == "Net Wt 6.3 oz (180 g)"
    assert from_grams(Decimal(180)).binding == pytest.approx(0.180)


def test_the_larger_of_the_two_binds() -> None:
    """NIST SP 1038 4.4.1.2: where they disagree, the largest is used for enforcement."""
    assert from_ounces(Decimal(8)).binding == pytest.approx(0.226796)


@given(st.decimals("0.5", "60", places=1))
def test_grams_never_overstate_the_ounces(ounces: Decimal) -> None:
    """For every tenth of an ounce, shown grams are at most the exact ones and near them."""
    made = from_ounces(ounces)
    exact = ounces * Decimal("28.3495")
    assert made.grams <= exact
    assert exact - made.grams < exact / 100


@given(st.floats(0.02, 2.0))
def test_what_a_jar_holds_is_never_overstated(net: float) -> None:
    """The largest declaration in tenths of an ounce stays at or below the net mass."""
    made = holds(Kilogram(net))
    assert made.binding <= net * (1 + 1e-12)
    assert net - made.binding < 0.1 * 0.0283495 + 1e-9


def test_impossible_weights_are_refused() -> None:
    """Nothing, and more places than the rule allows."""
    with pytest.raises(BadInput, match="more than 0"):
        from_ounces(Decimal(0))
    with pytest.raises(BadInput, match="places"):
        from_ounces(Decimal("8.1234"))


def test_panel_of_a_jar_and_of_a_votive() -> None:
    """16 CFR 500.21: 0.4 × 3.5 × 9.4248 = 13.19 in² -> 1/8 in; 5.03 in² -> 1/8 in (arithmetic)."""
    jar = type_height(cylinder(Metre(3.0 * INCH), Metre(3.5 * INCH)))
    assert jar.area / INCH**2 == pytest.approx(13.19, abs=0.005)
    assert jar.inches == "1/8"
    votive = type_height(cylinder(Metre(2.0 * INCH), Metre(2.0 * INCH)))
    assert votive.area / INCH**2 == pytest.approx(5.03, abs=0.005)
    assert votive.inches == "1/8"


@pytest.mark.parametrize(
    ("square_inches", "inches", "millimetres"),
    [(5, "1/16", 1.6), (25, "1/8", 3.2), (100, "3/16", 4.8), (400, "1/4", 6.4), (401, "1/2", 12.7)],
)
def test_type_height_by_area(square_inches: float, inches: str, millimetres: float) -> None:
    """16 CFR 500.21(b) (heights from memory), inches and millimetres."""
    found = type_height(rectangle(Metre(INCH), Metre(square_inches * INCH)))
    assert found.inches == inches
    assert found.height * 1000 == pytest.approx(millimetres, abs=0.06)
    assert found.placement


def test_embossed_letters_are_a_sixteenth_taller() -> None:
    """16 CFR 500.21 (from memory)."""
    assert type_height(other(10 * INCH**2), printing="embossed").inches == "1/8"


@pytest.mark.parametrize(
    ("grams", "millimetres"), [(50, 2), (51, 3), (200, 3), (220, 4), (1000, 4), (1001, 6)]
)
def test_figures_of_the_nominal_quantity(grams: float, millimetres: float) -> None:
    """76/211/EEC (from memory): 2, 3, 4 and 6 mm; the ℮ at least 3 mm."""
    found = marking(Kilogram(grams * 1e-3))
    assert found.figures == pytest.approx(millimetres * 1e-3)
    assert found.e_mark == pytest.approx(3e-3)


def test_outside_the_scope_there_is_no_e_mark() -> None:
    """76/211/EEC: 5 g to 10 kg."""
    with pytest.raises(BadInput, match="outside"):
        marking(Kilogram(0.004))

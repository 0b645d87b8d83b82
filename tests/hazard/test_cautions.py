import pytest

from rushlight.candle.parts import Oil
from rushlight.candle.sheet import Weight
from rushlight.hazard.cautions import cautions, flash
from rushlight.hazard.law import Law
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.quantity.si import Kelvin


def oil(rows: str = "", celsius: float | None = None) -> SafetySheet:
    """Return an oil with these components and this flash point."""
    held = read_rows("name,range,classes\n" + rows).check() if rows else ()
    flash = None if celsius is None else Kelvin(celsius + 273.15)
    return SafetySheet(name="cedar", components=held, flash_point=flash)


@pytest.mark.parametrize(
    ("celsius", "words"),
    [
        (22.9, "packing group II."),
        (23.0, "packing group III."),
        (60.0, "packing group III."),
        (60.1, "combustible liquid in the US"),
    ],
)
def test_the_flash_point_gives_the_transport_class(celsius: float, words: str) -> None:
    """49 CFR 173.120 and 173.121 (legal text): class 3 up to 60 °C."""
    (found,) = cautions(oil(celsius=celsius), place="fragrance.oils.0")
    assert words in found.what
    assert found.source.startswith("49 CFR 173.120")
    assert found.place == "fragrance.oils.0"


def test_an_oil_of_high_flash_point_needs_no_transport_note() -> None:
    """From 93 °C on it is neither class 3 nor combustible."""
    assert cautions(oil(celsius=93.0), place="oil") == ()


def test_an_unknown_flash_point_is_said() -> None:
    """Unknown is a result, not silence."""
    assert "not known" in cautions(oil(), place="oil")[0].what


def test_water_hazards_add_class_nine_also_for_a_us_maker() -> None:
    """UN 3082 for H400, H410, H411 (from memory): transport rules are worldwide."""
    for law in Law:
        found = cautions(oil("a,30,Aquatic Chronic 2", 95.0), place="oil", law=law)
        assert any("UN 3082" in caution.what for caution in found)


def test_handling_follows_the_neat_oil() -> None:
    """A sensitising oil asks for gloves at the scale, whatever the candle's label says."""
    found = cautions(oil("a,12,Skin Sens. 1B", 95.0), place="oil")
    assert any("gloves" in c.remedy or "gloves" in c.what for c in found)


def test_the_sheets_flash_point_is_compared_with_the_addition() -> None:
    """29 CFR 1910.106(a)(19): within 16.7 K it is a caution, at or above it a stop."""
    tide = Oil(name="Tide")
    for celsius, weights in ((70.0, [Weight.STOP]), (85.0, [Weight.CAUTION]), (120.0, [])):
        sheet = SafetySheet(name="Tide", flash_point=Kelvin(celsius + 273.15))
        found = list(flash(tide, sheet, add=Kelvin(353.15), place="fragrance.oils.0"))
        assert [caution.weight for caution in found] == weights
        assert all(caution.place == "fragrance.oils.0.flash_point" for caution in found)


def test_two_flash_points_that_differ_are_said() -> None:
    """The lower one counts; one degree Fahrenheit of rounding is no difference."""
    tide = Oil(name="Tide", flash_point=Kelvin(373.15))
    add = Kelvin(353.15)

    def said(kelvin: float) -> list[str]:
        sheet = SafetySheet(name="Tide", flash_point=Kelvin(kelvin))
        return [c.what for c in flash(tide, sheet, add=add, place="x")]

    assert said(373.15 + 0.5) == []
    assert len(said(380.0)) == 1
    lower = said(360.0)
    assert len(lower) == 2
    assert "the material's own fact" in lower[0]
    assert list(flash(tide, SafetySheet(name="Tide"), add=add, place="x")) == []

import pytest

from rushlight.hazard.cautions import cautions
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

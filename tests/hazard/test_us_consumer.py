import pytest

from rushlight.hazard.mixture import Part, of_parts
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.us_consumer import flammability, type_sizes, us_consumer
from rushlight.quantity.si import Fraction1, Kelvin

SQUARE_INCH = 0.0254**2


def test_bergamot_of_two_percent_is_a_strong_sensitizer() -> None:
    """16 CFR 1500.13 (from memory): products containing 2 % or more."""
    sheet = SafetySheet(name="o", components=read_rows("Bergamot oil,8007-75-8,25,H317").check())
    at = us_consumer(of_parts("c", [Part(sheet, Fraction1(0.08))]))
    below = us_consumer(of_parts("c", [Part(sheet, Fraction1(0.0799))]))
    assert [s.name for s in at.sensitizers] == ["oil of bergamot"]
    assert not below.sensitizers
    assert any("not with GHS pictograms" in line for line in at.plain)
    assert any("out of reach of children" in line for line in at.elements)


@pytest.mark.parametrize(
    ("fahrenheit", "word"),
    [
        (20.0, "extremely flammable"),
        (99.0, "flammable"),
        (100.0, "combustible"),
        (150.0, "combustible"),
        (200.0, "not flammable by the rule"),
    ],
)
def test_fhsa_words_for_flash_points(fahrenheit: float, word: str) -> None:
    """16 CFR 1500.3(c)(6) (from memory), °F."""
    assert flammability(Kelvin((fahrenheit + 459.67) / 1.8)) == word


@pytest.mark.parametrize(
    ("area", "inches"),
    [
        (2.0, ("3/64", "3/64", "1/32")),
        (13.19, ("7/64", "3/32", "1/16")),
        (30.0, ("1/8", "3/32", "5/64")),
        (31.0, ("5/32", "7/64", "3/32")),
    ],
)
def test_cautionary_type_by_panel_area(area: float, inches: tuple[str, str, str]) -> None:
    """16 CFR 1500.121 (from memory), inches by square inches."""
    found = type_sizes(area * SQUARE_INCH)
    assert found.inches == inches
    numerator, denominator = inches[0].split("/")
    assert found.signal_word == pytest.approx(int(numerator) / int(denominator) * 0.0254)

"""What makers type, in SI; and what they are told when it cannot be read."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.quantity.si import Density, Watt


def problem(read: Callable[[str], object], text: str) -> str:
    """Return the one problem the text raises, as a line."""
    with pytest.raises(BadInput) as caught:
        read(text)
    (found,) = caught.value.problems
    assert found.place == ""
    assert found.what
    assert found.remedy
    return str(found)


@pytest.mark.parametrize(
    ("text", "kilogram"),
    [
        # NIST Handbook 44, App. C: the ounce is 28.349523125 g, the pound 453.59237 g
        ("8 oz", 0.226796185),
        ("1 lb 4 oz", 0.5669904625),
        ("1lb4oz", 0.5669904625),
        ("1 pound, 4 ounces", 0.5669904625),
        ("1 1/2 lb", 0.680388555),
        ("250 g", 0.25),
        ("250g", 0.25),
        ("0,5 kg", 0.5),
        ("1 kg 250 g", 1.25),
        ("500 mg", 0.0005),
        ("0 g", 0.0),
        ("-0 g", 0.0),
    ],
)
def test_a_mass_is_read(text: str, kilogram: float) -> None:
    """The nearest float to the exact value, not one off it."""
    assert parse.mass(text) == kilogram


@pytest.mark.parametrize(
    ("text", "cubic_metre"),
    [
        # NIST Handbook 44, App. C: the US fluid ounce is 29.5735295625 ml
        ("8 fl oz", 236.5882365e-6),
        ("8 fl. oz.", 236.5882365e-6),
        ("1 cup", 236.5882365e-6),
        ("1 pint 4 fl oz", 591.47059125e-6),
        # Weights and Measures Act 1985 (UK), Schedule 1: 4.54609 l / 160 (from memory)
        ("10 imp fl oz", 284.130625e-6),
        ("250 ml", 250e-6),
        ("0.3 l", 300e-6),
        ("30 cl", 300e-6),
        ("236 cm3", 236e-6),
    ],
)
def test_a_volume_is_read(text: str, cubic_metre: float) -> None:
    """Fluid ounces are US ones unless imperial ones are said."""
    assert parse.volume(text) == cubic_metre


@pytest.mark.parametrize(
    ("text", "metre"),
    [
        ("2 3/4 in", 0.06985),  # NIST Handbook 44, App. C: the inch is 25.4 mm
        ("2¾ inches", 0.06985),
        ('3"', 0.0762),
        ("5' 3\"", 1.6002),
        ("1/4 in", 0.00635),
        ("70 mm", 0.07),
        ("7.5 cm", 0.075),
    ],
)
def test_a_length_is_read(text: str, metre: float) -> None:
    """Inches in fractions, as rules are marked."""
    assert parse.length(text) == metre


@pytest.mark.parametrize(
    ("text", "kelvin"),
    [
        # t/°C = (t/°F - 32) / 1.8, T/K = t/°C + 273.15 (NIST SP 811, B.8): 185 °F = 85 °C
        ("185 F", 358.15),
        ("185°F", 358.15),
        ("85 °C", 358.15),
        ("85 C", 358.15),
        ("358.15 K", 358.15),
        ("-40 °C", 233.15),
        ("-40 °F", 233.15),
        ("-273.15 °C", 0.0),
        ("-459.67 °F", 0.0),
    ],
)
def test_a_temperature_is_read(text: str, kelvin: float) -> None:
    """Offsets are exact too: 185 °F and 85 °C are the same float."""
    assert parse.temperature(text) == kelvin


def test_a_difference_has_no_offset() -> None:
    """30 °F of difference is the 16.7 K of 29 CFR 1910.106(a)(19): 16.667 K, rounded there."""
    assert parse.difference("30 F") == pytest.approx(50 / 3, rel=1e-15)
    assert round(parse.difference("30 °F"), 1) == 16.7
    assert parse.difference("16.7 C") == 16.7
    assert parse.difference("-30 F") == pytest.approx(-50 / 3, rel=1e-15)
    assert parse.difference("10", default="F") == pytest.approx(50 / 9, rel=1e-15)


def test_a_percentage_is_read_as_a_ratio() -> None:
    """8 % is 0.08, written with or without a space, or in words."""
    for text in ("8 %", "8%", "8 percent", "8 per cent"):
        assert parse.fraction(text) == 0.08
    assert parse.fraction("1/2 %") == 0.005


def test_a_percentage_without_its_sign_is_refused() -> None:
    """0.08 could be meant as 8 %, and both ways of typing it are offered."""
    assert "Type “8 %”" in problem(parse.fraction, "8")
    assert problem(parse.fraction, "0") == "“0” has no percent sign. Type “0 %”."
    said = problem(parse.fraction, "0.08")
    assert "“0.08 %”" in said
    assert "“8 %”" in said


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("90 s", 90),
        ("2 min", 120),
        ("1 h 30 min", 5400),
        ("1h30m", 5400),
        ("7 d", 604800),
        ("2 weeks", 1209600),
        ("1 week 3 days", 864000),
        ("1/2 h", 1800),
    ],
)
def test_a_duration_is_read(text: str, second: float) -> None:
    """From the seconds of a stir to the weeks of a cure."""
    assert parse.duration(text) == second


def test_a_density_is_a_mass_over_a_volume() -> None:
    """Any mass per any volume; 7.3 lb/gal by NIST Handbook 44, App. C."""
    for text in ("0.875 g/ml", "875 kg/m3", "0,875 kg/l", "0.875 g per cc", "875 g / l"):
        assert parse.density(text) == Density(875.0)
    assert parse.density("7.3 lb/gal") == pytest.approx(7.3 * 453.59237 / 3.785411784, rel=1e-14)


@pytest.mark.parametrize(
    "text", ["0.875", "0.875 g", "0 g/ml", "-1 g/ml", "g/ml", "1 ml/g", "1 g/ml 2"]
)
def test_what_is_no_density_is_refused(text: str) -> None:
    """It is divided by later, so it is more than zero."""
    problem(parse.density, text)


def test_a_power_is_read() -> None:
    """As it stands on a melter's plate."""
    assert parse.power("1500 W") == Watt(1500.0)
    assert parse.power("1.5 kW") == Watt(1500.0)


def test_a_number_stays_decimal() -> None:
    """Nothing is lost between what was typed and the Decimal."""
    assert parse.number("0,10") == Decimal("0.1")
    assert parse.number("-2 3/4") == Decimal("-2.75")
    assert parse.number("1/3") == Decimal("0." + "3" * 28)
    problem(parse.number, "3 g")


def test_a_count_is_whole_and_not_negative() -> None:
    """12 jars, not 12.5 and not -1."""
    assert parse.count("12") == 12
    assert parse.count("1,200") == 1200
    assert parse.count("1 200") == 1200
    assert parse.count("0") == 0
    for text in ("12.5", "1/2", "-1", "12 jars", "a dozen"):
        problem(parse.count, text)


@pytest.mark.parametrize(
    ("read", "text", "default"),
    [
        (parse.mass, "8", "oz"),
        (parse.volume, "8", "fl oz"),
        (parse.length, "2 3/4", "in"),
        (parse.temperature, "185", "F"),
        (parse.temperature, "185°", "°F"),
        (parse.difference, "30", "F"),
        (parse.duration, "2", "min"),
        (parse.power, "2", "kW"),
    ],
)
def test_a_bare_number_takes_the_default_unit_and_only_if_there_is_one(
    read: Callable[..., float], text: str, default: str
) -> None:
    """Without a default a guess could be wrong by 28 times; with one, a typed unit still wins."""
    assert read(text, default=default) == read(f"{text.strip('°')} {default}")
    assert "no unit" in problem(read, text)


def test_a_typed_unit_wins_over_the_default() -> None:
    """The default only speaks for a bare number."""
    assert parse.mass("8 g", default="oz") == 0.008
    problem(lambda text: parse.mass(text, default="oz"), "1 lb 4")


def test_a_default_that_is_no_unit_is_the_programs_own_mistake() -> None:
    """It must not be blamed on her typing."""
    with pytest.raises(ValueError, match="fl oz"):
        parse.mass("8", default="fl oz")


@pytest.mark.parametrize("text", ["8 oz", "8 OZ.", "8 ounces", "1 pint 8 oz"])
def test_ounces_where_a_volume_is_wanted_are_explained(text: str) -> None:
    """She learns the difference, and what to type if a volume was meant."""
    said = problem(parse.volume, text)
    assert "an ounce (oz) weighs 28.35 g" in said
    assert "a fluid ounce (fl oz) is a space of 29.57 ml" in said
    assert "Type “8 fl oz”" in said


@pytest.mark.parametrize("text", ["8 fl oz", "8 Fl. Oz.", "8 imp fl oz"])
def test_fluid_ounces_where_a_mass_is_wanted_are_explained(text: str) -> None:
    """The reverse: a jar's volume says nothing yet of what the wax weighs."""
    said = problem(parse.mass, text)
    assert "a fluid ounce (fl oz) is a space of 29.57 ml" in said
    assert "type “8 oz”" in said


@pytest.mark.parametrize(
    ("read", "text", "word"),
    [
        (parse.mass, "70 mm", "length"),
        (parse.mass, "250 ml", "volume"),
        (parse.volume, "250 g", "mass"),
        (parse.length, "8 %", "percentage"),
        (parse.temperature, "8 g", "mass"),
        (parse.duration, "185 F", "temperature"),
        (parse.fraction, "2 h", "duration"),
    ],
)
def test_a_unit_of_another_kind_is_named(
    read: Callable[[str], float], text: str, word: str
) -> None:
    """She reads what she typed and what is wanted."""
    assert f"“{text}” is a {word}" in problem(read, text)


@pytest.mark.parametrize(
    ("read", "text", "words"),
    [
        (parse.mass, "5 stone", "“stone” is not a unit of mass"),
        (parse.mass, "-5 g", "less than zero"),
        (parse.mass, "2 lb -1 oz", "less than zero"),
        (parse.volume, "-5 ml", "less than zero"),
        (parse.length, "-5 mm", "less than zero"),
        (parse.duration, "-5 s", "less than zero"),
        (parse.power, "-5 W", "less than zero"),
        (parse.fraction, "-5 %", "less than zero"),
        (parse.temperature, "-274 °C", "absolute zero"),
        (parse.temperature, "-460 °F", "absolute zero"),
        (parse.temperature, "-1 K", "absolute zero"),
        (parse.temperature, "1 C 2 F", "more than one temperature"),
        (parse.mass, "1 oz 4 lb", "do not belong together"),
        (parse.mass, "1 lb 4 g", "do not belong together"),
        (parse.mass, "1 lb 1 lb", "do not belong together"),
        (parse.fraction, "1 % 2 %", "do not belong together"),
        (parse.mass, "1.5 lb 2 oz", "a part of a lb"),
        (parse.length, "155-170 mm", "not one number"),
        (parse.mass, "", "Nothing was typed"),
        (parse.mass, "g", "does not begin with a number"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(
    read: Callable[[str], float], text: str, words: str
) -> None:
    """One plain sentence on what is wrong, one on what to do."""
    assert words in problem(read, text)

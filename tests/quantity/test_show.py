"""SI into what is read, by preference."""

from decimal import Decimal

import pytest

from rushlight.candle.parts import Span, Window
from rushlight.quantity import parse, show
from rushlight.quantity.show import METRIC, US, Preference
from rushlight.quantity.si import (
    CubicMetre,
    Density,
    Fraction1,
    Kelvin,
    KelvinStep,
    Kilogram,
    Metre,
    Second,
    Watt,
)

COMMA = Preference(decimal=",", currency="EUR")


@pytest.mark.parametrize(
    ("kilogram", "readability", "shown"),
    [
        (0.2268, 0.001, "227 g"),
        (0.2268, 0.0001, "226.8 g"),
        (0.2268, 0.0005, "227.0 g"),
        (0.2268, 0.005, "225 g"),
        (12.3456, 0.001, "12\u00a0346 g"),
        (-0.005, 0.001, "\u22125 g"),
        (0.0, 0.001, "0 g"),
    ],
)
def test_grams_are_rounded_to_the_scale(kilogram: float, readability: float, shown: str) -> None:
    """What the scale cannot show is not shown."""
    assert show.mass(Kilogram(kilogram), Preference(readability=Kilogram(readability))) == shown


@pytest.mark.parametrize(
    ("typed", "readability", "shown"),
    [
        ("0.36 oz", "1 g", "0.36 oz"),
        ("8 oz", "1 g", "8.00 oz"),
        ("8 oz", "0.05 oz", "8.00 oz"),
        ("8.07 oz", "0.05 oz", "8.05 oz"),
        ("8 oz", "0.1 oz", "8.0 oz"),
        ("15.996 oz", "0.01 oz", "1 lb 0.00 oz"),
        ("1 lb 4 oz", "0.1 oz", "1 lb 4.0 oz"),
        ("20 lb", "1 oz", "20 lb 0 oz"),
    ],
)
def test_ounces_are_decimal_and_from_a_pound_on_pounds_and_ounces(
    typed: str, readability: str, shown: str
) -> None:
    """The step is the scale's, or the decimal one below it."""
    pref = Preference(mass="oz", readability=parse.mass(readability))
    assert show.mass(parse.mass(typed), pref) == shown


def test_a_four_ounce_jar_of_soy_reads_as_the_trade_tells_it() -> None:
    """Common practice: 3 oz of wax at 12 % of wax take 0.36 oz, 3.36 oz in all, 10.7 % of total."""
    wax = parse.mass("3 oz")
    oil = Kilogram(wax * parse.fraction("12 %"))
    total = Kilogram(wax + oil)
    assert show.mass(oil, US) == "0.36 oz"
    assert show.mass(total, US) == "3.36 oz"
    assert show.percent(Fraction1(oil / total)) == "10.7 %"


def test_volumes() -> None:
    """Millilitres without needless zeros; fluid ounces to a hundredth."""
    brim = parse.volume("8 fl oz")
    assert show.volume(brim) == "237 ml"
    assert show.volume(brim, US) == "8.00 fl oz"
    assert show.volume(CubicMetre(29.57e-6)) == "29.6 ml"
    assert show.volume(CubicMetre(99.96e-6)) == "100 ml"


@pytest.mark.parametrize(
    ("typed", "millimetres", "inches"),
    [
        ("2 3/4 in", "69.8 mm", "2 3/4 in"),  # 69.85 mm: a half goes to the even tenth
        ("1/4 in", "6.4 mm", "1/4 in"),
        ("3 in", "76.2 mm", "3 in"),
        ("0 mm", "0 mm", "0 in"),
        ("70 mm", "70 mm", "2 3/4 in"),
        ("75.9 mm", "75.9 mm", "3 in"),
        ("1.6 mm", "1.6 mm", "1/16 in"),
    ],
)
def test_lengths(typed: str, millimetres: str, inches: str) -> None:
    """Tenths of a millimetre; sixteenths of an inch in lowest terms."""
    length = parse.length(typed)
    assert show.length(length) == millimetres
    assert show.length(length, US) == inches
    if length:
        assert show.length(Metre(-length), US) == f"\u2212{inches}"


def test_temperatures() -> None:
    """185 °F = 85 °C (NIST SP 811, B.8), both exactly."""
    hot = parse.temperature("185 F")
    assert show.temperature(hot) == "85 °C"
    assert show.temperature(hot, US) == "185 °F"
    assert show.temperature(hot, US, places=1) == "185.0 °F"
    assert show.temperature(Kelvin(263.15)) == "\u221210 °C"


def test_a_difference_is_not_shifted() -> None:
    """30 °F of difference is 16.7 °C (29 CFR 1910.106(a)(19))."""
    margin = parse.difference("30 F")
    assert show.difference(margin) == "16.7 °C"
    assert show.difference(margin, US) == "30 °F"
    assert show.difference(KelvinStep(-5.0)) == "\u22125 °C"


def test_a_window_is_read_as_a_range() -> None:
    """One scale, one unit; ends that read alike are one temperature."""
    window = Window(*(parse.temperature(text) for text in ("155 F", "163 F", "170 F")))
    assert show.temperature_window(window, US) == "155–170 °F"
    assert show.temperature_window(window) == "68–77 °C"
    assert show.temperature_window(Window(window.aim, window.aim, window.aim), US) == "163 °F"
    cold = Window(Kelvin(263.15), Kelvin(268.15), Kelvin(273.15))
    assert show.temperature_window(cold) == "\u221210 to 0 °C"


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("0 s", "0 s"),
        ("45 s", "45 s"),
        ("90 s", "1 min 30 s"),
        ("2 min", "2 min"),
        ("3599.6 s", "1 h"),
        ("90 min", "1 h 30 min"),
        ("36 h", "36 h"),
        ("172799 s", "2 days"),
        ("51 h", "2 days 3 h"),
        ("1 week", "7 days"),
    ],
)
def test_durations(typed: str, shown: str) -> None:
    """The two largest units that matter."""
    assert show.duration(parse.duration(typed)) == shown


def test_a_span_of_time() -> None:
    """The unit once, as in "1–2 min", where both ends have that unit alone."""

    def span(low: str, high: str) -> str:
        ends = parse.duration(low), parse.duration(high)
        return show.duration_span(Span(ends[0], ends[0], ends[1]))

    assert span("1 min", "2 min") == "1–2 min"
    assert span("90 s", "2 min") == "1 min 30 s to 2 min"
    assert span("30 s", "2 min") == "30 s to 2 min"
    assert span("7 d", "7 d") == "7 days"
    assert show.duration(Second(-60.0)) == "\u22121 min"


def test_other_figures() -> None:
    """Percentages, densities, watts and plain numbers."""
    assert show.percent(Fraction1(0.08)) == "8 %"
    assert show.percent(Fraction1(0.0725), places=2) == "7.25 %"
    assert show.density(Density(875.0)) == "0.875 g/ml"
    assert show.power(Watt(1500.0)) == "1500 W"
    assert show.number(1234.5, places=2) == "1234.50"
    assert show.number(-0.001, places=2) == "0.00"
    assert show.number(12345) == "12\u00a0345"


def test_a_decimal_comma_never_makes_a_text_that_has_two_readings() -> None:
    """Three decimals after a comma could be thousands, so there are four."""
    assert show.number(1.2346, COMMA, places=3) == "1,2346"
    assert show.number(0.99996, COMMA, places=3) == "1,0000"
    assert show.number(0.9994, COMMA, places=3) == "0,999"
    assert show.number(0.875, COMMA, places=3) == "0,875"
    assert show.number(1000, COMMA, places=3) == "1000,000"
    assert show.density(Density(1050.0), COMMA) == "1,0500 g/ml"


@pytest.mark.parametrize(
    ("pref", "shown"),
    [
        (METRIC, "£1234.50"),
        (US, "$1234.50"),
        (COMMA, "1234,50 €"),
        (Preference(currency="SEK"), "1234.50 kr"),
        (Preference(currency="JPY"), "¥1234"),
        (Preference(currency="XAG"), "1234.50 XAG"),
    ],
)
def test_money(pref: Preference, shown: str) -> None:
    """The sign where readers of that mark expect it; a half coin goes to the even one."""
    assert show.money(Decimal("1234.50"), pref) == shown


def test_money_below_zero_and_in_parts_of_a_coin() -> None:
    """A loss has a minus before its sign; a price per gram may need four decimals."""
    assert show.money(Decimal("-4.2")) == "\u2212£4.20"
    assert show.money(Decimal("-0.001")) == "£0.00"
    assert show.money(Decimal("0.0125"), places=4) == "£0.0125"

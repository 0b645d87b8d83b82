"""Units: exact factors, each with its source, and the spellings makers use."""

from fractions import Fraction

import pytest

from rushlight.quantity import units
from rushlight.quantity.units import TABLE, Kind, Unit

PUBLISHED = [
    # NIST Handbook 44, Appendix C: exact values, in g, ml and mm
    ("oz", "28.349523125", 1000),
    ("lb", "453.59237", 1000),
    ("fl oz", "29.5735295625", 10**6),
    ("pint", "473.176473", 10**6),
    ("quart", "946.352946", 10**6),
    ("gallon", "3785.411784", 10**6),
    ("cup", "236.5882365", 10**6),
    ("tbsp", "14.78676478125", 10**6),
    ("in", "25.4", 1000),
    ("ft", "304.8", 1000),
    # Weights and Measures Act 1985 (UK), Schedule 1 (from memory): the gallon is
    # 4.54609 cubic decimetres, the pint its eighth, the fluid ounce the pint's twentieth
    ("imp fl oz", "28.4130625", 10**6),
    ("imp pint", "568.26125", 10**6),
    ("imp gallon", "4546.09", 10**6),
]


@pytest.mark.parametrize(("name", "published", "scale"), PUBLISHED)
def test_a_factor_is_exactly_the_published_one(name: str, published: str, scale: int) -> None:
    """Not one digit is lost: the factors are fractions, not floats."""
    assert units.named(name).factor * scale == Fraction(published)


def test_the_us_gallon_is_231_cubic_inches() -> None:
    """NIST Handbook 44, Appendix C: the gallon by its definition, from the inch."""
    assert units.named("gallon").factor == 231 * units.named("in").factor ** 3


def test_sixteen_ounces_are_a_pound_but_a_pint_has_twenty_imperial_fluid_ounces() -> None:
    """The relations within the systems hold (NIST Handbook 44, App. C; UK Act of 1985)."""
    assert 16 * units.named("oz").factor == units.named("lb").factor
    assert 16 * units.named("fl oz").factor == units.named("pint").factor
    assert 20 * units.named("imp fl oz").factor == units.named("imp pint").factor
    assert 3 * units.named("tsp").factor == units.named("tbsp").factor


@pytest.mark.parametrize("unit", TABLE, ids=lambda unit: unit.name)
def test_every_unit_names_its_source_and_is_found_by_its_name(unit: Unit) -> None:
    """A factor without a source has no place in the table."""
    assert unit.source
    assert unit.factor > 0
    assert units.find(unit.name, unit.kind) is unit


def test_within_a_kind_no_spelling_means_two_units() -> None:
    """Otherwise the order of the table would decide what she typed."""
    for word, meant in units._spelled().items():
        kinds = [unit.kind for unit in meant]
        assert len(kinds) == len(set(kinds)), word


@pytest.mark.parametrize(
    ("word", "kind", "name"),
    [
        ("Fl. Oz.", Kind.VOLUME, "fl oz"),
        ("FL  OZ", Kind.VOLUME, "fl oz"),
        ("us fl oz", Kind.VOLUME, "fl oz"),
        ("UK fl. oz", Kind.VOLUME, "imp fl oz"),
        ("imperial pints", Kind.VOLUME, "imp pint"),
        ("LBS", Kind.MASS, "lb"),
        ("mL", Kind.VOLUME, "ml"),
        ("″", Kind.LENGTH, "in"),
        ("ºF", Kind.TEMPERATURE, "°F"),
        ("degrees Celsius", Kind.TEMPERATURE, "°C"),
        ("° C", Kind.TEMPERATURE, "°C"),
        ("per cent", Kind.FRACTION, "%"),
        ("m", Kind.LENGTH, "m"),
        ("m", Kind.DURATION, "min"),
    ],
)
def test_a_spelling_is_read_in_any_case_with_stops_and_spaces(
    word: str, kind: Kind, name: str
) -> None:
    """Makers write units as their labels do."""
    assert units.find(word, kind) is units.named(name)


def test_an_ounce_is_never_a_volume() -> None:
    """`oz` and `fl oz` do not mix, whatever the kind asked for."""
    assert units.find("oz", Kind.VOLUME) is None
    assert units.find("fl oz", Kind.MASS) is None

"""The number grammar, and what it refuses on purpose."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.quantity import reading

EXAMPLE = "“12 g”"


def read(text: str) -> Fraction:
    """Return the one number in the text."""
    (term,) = reading.terms(text, example=EXAMPLE)
    return term.number


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", "12"),
        ("007", "7"),
        ("0.5", "1/2"),
        ("0,5", "1/2"),
        (".5", "1/2"),
        (",5", "1/2"),
        ("+5", "5"),
        ("-5", "-5"),
        ("\u22125", "-5"),
        ("1 250", "1250"),
        ("1\u00a0250", "1250"),
        ("1\u2009250,5", "2501/2"),
        ("1\u202f250\u202f000", "1250000"),
        ("1,250.5", "2501/2"),
        ("1.250,5", "2501/2"),
        ("1,250,000", "1250000"),
        ("1.250.000", "1250000"),
        ("1.250", "5/4"),
        ("0,125", "1/8"),
        ("1250,125", "10001/8"),
        ("12,34", "617/50"),
        ("3/4", "3/4"),
        ("2 3/4", "11/4"),
        ("2-3/4", "11/4"),
        ("2 3⁄4", "11/4"),
        ("2¾", "11/4"),
        ("2 ¾", "11/4"),
        ("½", "1/2"),
        ("-1 1/2", "-3/2"),
        ("999999999999", "999999999999"),
    ],
)
def test_a_number_is_read_exactly(text: str, value: str) -> None:
    """Points, commas, thin spaces, groups of three and fractions, without rounding."""
    assert read(text) == Fraction(value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "-",
        ".",
        "1,250",
        "-1,250",
        "1 25",
        "1 2500",
        "0 250",
        "1,25,0",
        "1.2.3",
        "1,250.500.1",
        "1..2",
        "5.",
        "1/0",
        "0/0",
        "2 4/3",
        "1/2/3",
        "1/12345",
        "2.5 3/4",
        "7¾4",
        "155-170",
        "1e3",
        "1E-3",
        "1.5 e 3",
        "nan",
        "inf",
        "-infinity",
        "∞",
        "0x10",
        "9" * 13,
        "0." + "1" * 13,
        "9" * 400,
        "٣",
        "１２",
        "५",
        "5\u200b",
        "5\u202e",
        "5\x00",
        "\ud800",
        "--5",
        "+-5",
        "five",
        "<b>5</b>",
        "'; drop table wax; --",
    ],
)
def test_what_is_not_one_plain_number_is_refused(text: str) -> None:
    """Ambiguous, endless, invisible or foreign: each is BadInput with a remedy, never a guess."""
    with pytest.raises(BadInput) as caught:
        reading.number(reading.clean(text, example=EXAMPLE), example=EXAMPLE)
    (problem,) = caught.value.problems
    assert problem.what
    assert problem.remedy


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5\u200b g", "a character that cannot be seen"),
        ("5 g\u202e", "a character that cannot be seen"),
        ("\ud800", "a character that cannot be seen"),
        ("٣ g", "digits other than 0 to 9"),
        ("9" * 400, "too long"),
        ("9" * 13, "too many digits"),
        ("1e3 g", "exponent"),
        ("nan g", "does not begin with a number"),
        ("1/0 in", "not a fraction"),
    ],
)
def test_the_refusal_says_what_is_wrong(text: str, words: str) -> None:
    """Not merely that something is."""
    with pytest.raises(BadInput, match=words):
        reading.terms(text, example=EXAMPLE)


def test_a_comma_with_three_digits_is_refused_with_both_readings() -> None:
    """A thousand here, a decimal there: she is told what to type for each."""
    with pytest.raises(BadInput) as caught:
        read("1,250 g")
    (problem,) = caught.value.problems
    assert "“1250”" in problem.remedy
    assert "“1.250”" in problem.remedy


def test_where_only_whole_numbers_are_possible_the_comma_groups() -> None:
    """1,250 jars cannot be one jar and a quarter."""
    assert reading.number("1,250", example=EXAMPLE, whole=True) == 1250


@given(before=st.integers(0, 10**12 - 1), after=st.text("0123456789", min_size=1, max_size=12))
def test_a_decimal_comma_reads_as_a_decimal_point(before: int, after: str) -> None:
    """The two marks mean the same, but for the comma that could group thousands."""
    point = read(f"{before}.{after}")
    assert point == Fraction(f"{before}.{after}")
    if len(after) == 3 and 1 <= before <= 999:
        with pytest.raises(BadInput, match="two ways"):
            read(f"{before},{after}")
    else:
        assert read(f"{before},{after}") == point


@given(value=st.integers(1000, 10**12 - 1), after=st.text("0123456789", min_size=1, max_size=12))
def test_grouped_digits_read_as_plain_digits(value: int, after: str) -> None:
    """Groups by comma, by point or by any space are the same number."""
    grouped = f"{value:,}"
    plain = Fraction(f"{value}.{after}")
    assert read(f"{grouped}.{after}") == plain
    assert read(f"{grouped.replace(',', '.')},{after}") == plain
    for space in " \u00a0\u2009\u202f":
        assert read(f"{grouped.replace(',', space)}.{after}") == plain
        assert read(f"{grouped.replace(',', space)},{after}") == plain


def test_numbers_and_units_follow_one_another() -> None:
    """The parts of "1 lb, 4 oz" come in the order typed, however they are joined."""
    for text in ("1 lb 4 oz", "1lb4oz", "1 lb, 4 oz", "1 lb and 4 oz", "1 lb. 4 oz."):
        first, second = reading.terms(text, example=EXAMPLE)
        assert (first.number, second.number) == (Fraction(1), Fraction(4))
        assert first.unit.strip(".") == "lb"
        assert second.unit.strip(".") == "oz"


def test_a_decimal_mark_stuck_to_a_unit_is_not_guessed_at() -> None:
    """After "1 lb", ".5 oz" could be half an ounce or five."""
    with pytest.raises(BadInput, match="two ways"):
        reading.terms("1 lb.5 oz", example=EXAMPLE)


def test_a_cubic_metre_may_be_typed_without_the_raised_three() -> None:
    """The 3 of "m3" belongs to the unit."""
    for text in ("875 kg/m3", "875 kg/m^3", "875 kg/m³"):
        (term,) = reading.terms(text, example=EXAMPLE)
        assert (term.number, term.unit) == (Fraction(875), "kg/m³")


def test_what_was_typed_is_shown_short_and_with_nothing_invisible() -> None:
    """An error never repeats a page of text, nor a character that turns the line round."""
    assert reading.quoted("8 g") == "“8 g”"
    assert reading.quoted("9" * 40) == "“" + "9" * 40 + "”"
    assert reading.quoted("9" * 400) == "“" + "9" * 39 + "…”"
    assert reading.quoted("a\u202eb\x00\n\ud800") == "“a\\u202eb\\u0000\\u000a\\ud800”"

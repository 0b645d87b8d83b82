"""GTINs: check digits, in-house ranges, bars."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import ean

from rushlight.errors import BadInput
from rushlight.press.labels.gtin import MODULE, Gtin, check_digit


@pytest.mark.parametrize(
    ("body", "digit"),
    [
        ("629104150021", 3),  # GS1, "How to calculate a check digit manually" (sum 57)
        ("730001100001", 7),  # GS1 Sweden (sum 23)
        ("501234567890", 0),  # GS1 UK's example number; digit by python-stdnum
        ("03600029145", 2),  # read back by zxing-cpp, see test_printing
        ("9638507", 4),  # GTIN-8; by python-stdnum
    ],
)
def test_the_check_digits_of_published_numbers(body: str, digit: int) -> None:
    """Each with its source beside it."""
    assert check_digit(body) == digit
    assert ean.calc_check_digit(body) == str(digit)


@given(st.text("0123456789", min_size=12, max_size=12), st.integers(0, 12), st.integers(1, 9))
def test_one_wrong_digit_is_always_found(body: str, at: int, off: int) -> None:
    """The weights 1 and 3 have no common factor with ten (GS1)."""
    good = body + str(check_digit(body))
    bad = good[:at] + str((int(good[at]) + off) % 10) + good[at + 1 :]
    assert Gtin(good).digits == good
    with pytest.raises(BadInput, match="check digit"):
        Gtin(bad)


@pytest.mark.parametrize("digits", ["", "12", "abc", "629104150021", "٦٢٩١٠٤١٥٠٠٢١٣", "1" * 14])
def test_what_is_no_number_of_that_length_is_refused(digits: str) -> None:
    """Nothing is completed or made up: a missing digit is the maker's to type."""
    with pytest.raises(BadInput) as raised:
        Gtin(digits)
    assert raised.value.problems[0].place == "gtin"


@pytest.mark.parametrize(
    ("body", "in_house"),
    [
        ("200000000000", True),  # 200–299, 020–029, 040–049: restricted (GS1, from memory)
        ("299999999999", True),
        ("020000000000", True),
        ("049000000000", True),
        ("300000000000", False),
        ("030000000000", False),
        ("050000000000", False),
        ("20000000000", True),  # GTIN-12: 2 is 020–029
        ("40000000000", True),
        ("03600029145", False),
        ("2000000", True),  # GTIN-8: 0 and 2 (from memory)
        ("9638507", False),
    ],
)
def test_a_number_for_inside_ones_own_shop_says_so(body: str, *, in_house: bool) -> None:
    """A maker who prints one for a shop elsewhere has to know."""
    gtin = Gtin(body + str(check_digit(body)))
    assert gtin.in_house is in_house
    assert bool(gtin.note) is in_house


@pytest.mark.parametrize(
    ("digits", "modules", "millimetres"),
    [
        ("6291041500213", 95, 37.29),  # GS1 General Specifications, with quiet zones (from memory)
        ("036000291452", 95, 37.29),
        ("96385074", 67, 26.73),
    ],
)
def test_a_symbol_at_full_size_is_as_wide_as_the_specification_says(
    digits: str, modules: int, millimetres: float
) -> None:
    """0.330 mm a module."""
    gtin = Gtin(digits)
    assert len(gtin.modules) == modules
    assert gtin.width(1.0) == pytest.approx(millimetres)
    assert gtin.width(0.8) == pytest.approx(0.8 * millimetres)
    assert pytest.approx(0.330) == MODULE

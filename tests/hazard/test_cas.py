import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import casrn

from rushlight.errors import BadInput
from rushlight.hazard.cas import check_digit, read_cas


@pytest.mark.parametrize("number", ["78-70-6", "5989-27-5", "5392-40-5", "80-54-6", "7732-18-5"])
def test_known_numbers_are_accepted(number: str) -> None:
    """Linalool, d-limonene, citral, butylphenyl methylpropional, water: public registry numbers."""
    assert read_cas(number) == number
    assert casrn.is_valid(number)


@given(st.integers(10, 9_999_999), st.integers(0, 99))
def test_the_check_digit_agrees_with_python_stdnum(first: int, second: int) -> None:
    """python-stdnum computes the same digit for any body."""
    body = f"{first}{second:02d}"
    assert str(check_digit(body)) == casrn.calc_check_digit(body)
    assert casrn.is_valid(f"{first}-{second:02d}-{check_digit(body)}")


def test_a_wrong_digit_is_named_with_the_right_one() -> None:
    """The message says which digit the others call for."""
    with pytest.raises(BadInput, match="they call for 6") as bad:
        read_cas("78-70-7")
    assert "safety data sheet" in bad.value.problems[0].remedy


@pytest.mark.parametrize("typed", ["linalool", "78/70/6", "1-70-6", ""])
def test_what_is_not_shaped_like_a_number_is_refused(typed: str) -> None:
    """Anything but digits-2-1 is a problem."""
    with pytest.raises(BadInput, match="not shaped like a CAS number"):
        read_cas(typed)


def test_other_dashes_and_leading_zeros_are_understood() -> None:
    """Sheets print en dashes and pad with zeros."""
    assert read_cas(" 000078–70–6 ") == "78-70-6"

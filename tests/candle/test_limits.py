"""Bounds of the fields."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.limits import LIMITS, example, read
from rushlight.errors import BadInput


@pytest.mark.parametrize("field", sorted(LIMITS))
def test_every_example_and_both_bounds_can_be_typed(field: str) -> None:
    """What an error tells a maker to type is accepted."""
    limit = LIMITS[field]
    low, high = read(field, limit.low), read(field, limit.high)
    assert low <= example(field) <= high
    assert low < high


@pytest.mark.parametrize(
    ("field", "absurd"),
    [
        ("fragrance.load", "900 %"),
        ("vessel.height", "4 m"),
        ("vessel.diameter", "0 mm"),
        ("vessel.brim", "0 ml"),
        ("vessel.brim", "300 l"),
        ("batch.jars", "1000000"),
        ("batch.jars", "0"),
        ("wax.pour", "600 F"),
        ("wick.count", "0"),
        ("batch.spill", "100 %"),
        ("batch.readability", "0 g"),
    ],
)
def test_the_absurd_is_refused_with_a_reason_and_a_remedy(field: str, absurd: str) -> None:
    """The reason quotes what was typed, the remedy names both bounds and an example."""
    with pytest.raises(BadInput) as caught:
        read(field, absurd)
    (problem,) = caught.value.problems
    assert absurd in problem.what
    for text in (LIMITS[field].low, LIMITS[field].high, LIMITS[field].example):
        assert text in problem.remedy


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("vessel.brim", "8 oz"),
        ("fill.headspace", "-3 mm"),
        ("fill.net", "8 fl oz"),
        ("wax.pour", "hot"),
        ("fragrance.load", "8"),
        ("wax.expansion", "0.0006 kg"),
        ("batch.jars", "1.5"),
    ],
)
def test_a_wrong_unit_or_sign_is_refused(field: str, wrong: str) -> None:
    """Each with something to type instead."""
    with pytest.raises(BadInput) as caught:
        read(field, wrong)
    assert caught.value.problems[0].remedy


def test_a_plain_number_may_carry_its_unit() -> None:
    """2210 and 2210 J/(kg K) are the same heat capacity."""
    assert read("wax.heat_capacity", "2210") == read("wax.heat_capacity", "2210 J/(kg K)") == 2210


@given(st.sampled_from(sorted(LIMITS)), st.text(max_size=60))
def test_whatever_is_typed_the_answer_is_a_number_or_bad_input(field: str, text: str) -> None:
    """No other error, and no number outside the bounds."""
    try:
        value = read(field, text)
    except BadInput as bad:
        said = [problem.what and problem.remedy for problem in bad.problems]
    else:
        said = ["a number"]
        assert read(field, LIMITS[field].low) <= value <= read(field, LIMITS[field].high)
    assert all(said)

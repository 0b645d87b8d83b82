"""Sharing a total out in whole steps: the shown parts add up to the shown total."""

import math
import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.quantity import parse, show
from rushlight.quantity.share import apportion, whole_steps
from rushlight.quantity.show import Preference
from rushlight.quantity.si import Kilogram

STEPS = st.sampled_from([1.0, 0.5, 0.1, 0.05, 0.001, 0.0001, 0.0002834952])
PARTS = st.lists(st.floats(0, 1000), max_size=12)


@given(exact=PARTS, step=STEPS)
def test_the_steps_add_up_to_the_rounded_total(exact: list[float], step: float) -> None:
    """The sum of the parts shown is the total shown, exactly."""
    assert sum(apportion(exact, step)) == round(math.fsum(exact) / step)


@given(exact=PARTS, step=STEPS)
def test_every_part_is_within_one_step_and_nothing_stays_nothing(
    exact: list[float], step: float
) -> None:
    """No part is off by more than the scale can show."""
    for part, steps in zip(exact, apportion(exact, step), strict=True):
        assert abs(steps - Fraction(part) / Fraction(step)) <= 1
        assert part > 0 or steps == 0


@given(exact=PARTS, step=STEPS, seed=st.integers())
def test_the_order_of_the_parts_changes_nothing(exact: list[float], step: float, seed: int) -> None:
    """Each value gets the same steps wherever it stands; equal values share the same ones."""
    shuffled = random.Random(seed).sample(exact, len(exact))  # noqa: S311 - no secret
    before = sorted(zip(exact, apportion(exact, step), strict=True))
    assert before == sorted(zip(shuffled, apportion(shuffled, step), strict=True))


@given(exact=PARTS, step=STEPS)
def test_a_larger_part_never_gets_fewer_steps(exact: list[float], step: float) -> None:
    """What weighs more is never shown as less."""
    ranked = sorted(zip(exact, apportion(exact, step), strict=True))
    assert [steps for _, steps in ranked] == sorted(steps for _, steps in ranked)


def test_the_largest_remainders_are_filled_first() -> None:
    """10.6 + 20.7 + 30.1 = 61.4 is shown as 61: one step is missing, and 20.7 was cut the most."""
    assert apportion([10.6, 20.7, 30.1], 1.0) == [10, 21, 30]


def test_equal_remainders_go_to_the_larger_part_and_then_to_the_earlier() -> None:
    """Ties have one answer, today and tomorrow."""
    assert apportion([1.5, 2.5], 1.0) == [1, 3]
    assert apportion([0.5, 0.5, 0.5, 0.5], 1.0) == [1, 1, 0, 0]


def test_a_total_may_be_given() -> None:
    """The total that was weighed out, not that of the parts, is what they add up to."""
    assert apportion([1.2, 1.2, 1.2], 1.0, 3.0) == [1, 1, 1]
    assert apportion([1.2, 1.2, 1.2], 1.0, 5.0) == [2, 2, 1]


@pytest.mark.parametrize("total", [2.0, 7.0, -1.0, 1e9])
def test_a_total_out_of_reach_is_refused(total: float) -> None:
    """Rather than move a part by more than one step."""
    with pytest.raises(ValueError, match="out of reach"):
        apportion([1.2, 1.2, 1.2], 1.0, total)


@pytest.mark.parametrize(
    ("exact", "step"),
    [
        ([-1.0], 1.0),
        ([math.nan], 1.0),
        ([math.inf], 1.0),
        ([1.0], 0.0),
        ([1.0], -1.0),
        ([1.0], math.nan),
        ([1.0], 1e-320),
        ([2.0**40 + 1], 1.0),
    ],
)
def test_what_cannot_be_counted_is_refused(exact: list[float], step: float) -> None:
    """Negative, endless, or in steps that no float can count."""
    with pytest.raises(ValueError, match=r"parts must|a step must|cannot be counted|too many"):
        apportion(exact, step)


def test_a_part_that_is_nothing_is_not_rounded_up_to_reach_a_total() -> None:
    """The total of 3 would need a step of the part that is not there."""
    assert apportion([0.0, 1.2], 1.0, 2.0) == [0, 2]
    with pytest.raises(ValueError, match="out of reach"):
        apportion([0.0, 1.2], 1.0, 3.0)


def test_a_million_million_steps_can_still_be_shared() -> None:
    """The largest count that is promised."""
    assert apportion([2.0**39, 2.0**39], 1.0) == [2**39, 2**39]


def test_nothing_at_all_is_shared_out_as_nothing() -> None:
    """No parts, no steps."""
    assert apportion([], 1.0) == []
    assert apportion([0.0, 0.0], 1.0) == [0, 0]


def test_a_half_step_goes_to_the_even_one() -> None:
    """Neither up nor down on the whole; the one rounding of the package."""
    assert [whole_steps(value, 1.0) for value in (0.5, 1.5, 2.5, -0.5)] == [0, 2, 2, 0]


@given(
    exact=st.lists(st.floats(0, 20), min_size=1, max_size=8),
    unit=st.sampled_from(["g", "oz"]),
    readability=st.sampled_from(["1 g", "0.1 g", "0.5 g", "5 g", "0.05 oz", "0.1 oz", "0.3333 g"]),
    decimal=st.sampled_from([".", ","]),
)
def test_what_is_read_on_paper_adds_up(
    exact: list[float], unit: str, readability: str, decimal: str
) -> None:
    """Adding the shown masses up by hand, in any unit, gives the shown total."""
    pref = Preference(
        mass="oz" if unit == "oz" else "g",
        decimal="," if decimal == "," else ".",
        readability=parse.mass(readability),
    )
    step = show.mass_step(pref)
    shares = apportion(exact, step)
    shown = [show.mass(Kilogram(steps * step), pref) for steps in shares]
    total = show.mass(Kilogram(math.fsum(exact)), pref)
    by_hand = sum(_in_small_units(text) for text in shown)
    assert by_hand == _in_small_units(total)


def _in_small_units(shown: str) -> Fraction:
    """Return grams or ounces, exactly, from a shown mass: an adding machine of its own."""
    words = shown.replace("\u00a0", "").replace(",", ".").split()
    if "lb" in words:
        return 16 * Fraction(words[0]) + Fraction(words[2])
    return Fraction(words[0])

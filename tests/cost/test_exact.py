"""Sharing and showing money without losing any."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.exact import LEDGER, round_up, share_out, shown

MONEY = st.decimals(0, 100_000, places=4)
WEIGHTS = st.lists(st.decimals(0, 1000, places=3), min_size=1, max_size=12).filter(any)


@given(MONEY, WEIGHTS)
def test_shares_sum_to_the_charge_exactly(total: Decimal, weights: list[Decimal]) -> None:
    """To the last 1/10 000, and each share is within one step of its exact value."""
    shares = share_out(total, weights)
    assert sum(shares) == total
    for share, weight in zip(shares, weights, strict=True):
        ideal = Fraction(total) * Fraction(weight) / Fraction(sum(weights))
        assert abs(Fraction(share) - ideal) < Fraction(LEDGER)
        assert share >= 0


@given(WEIGHTS, st.integers(2, 5))
def test_equal_lines_get_shares_one_step_apart_at_most(weights: list[Decimal], times: int) -> None:
    """Nobody is favoured by more than the step that cannot be cut."""
    shares = share_out(Decimal("10.0000"), weights * times)
    for i in range(len(weights)):
        same = shares[i :: len(weights)]
        assert max(same) - min(same) <= LEDGER


@given(st.lists(st.decimals(0, 1000, places=9), max_size=8))
def test_shown_parts_add_up_to_the_shown_total(parts: list[Decimal]) -> None:
    """What is shown adds up, each part within a penny of itself."""
    rounded = shown(parts)
    total = sum(parts, Decimal(0))
    assert abs(sum(rounded, Decimal(0)) - total) <= Decimal("0.005")
    for part, whole in zip(parts, rounded, strict=True):
        assert abs(part - whole) <= Decimal("0.015")
        assert whole == whole.quantize(Decimal("0.01"))


def test_a_charge_that_cannot_be_shared_is_refused() -> None:
    """No weights, negative weights, or a charge finer than the ledger."""
    for total, weights in ((Decimal(1), []), (Decimal(1), [Decimal(0)]), (Decimal("1e-5"), [1])):
        with pytest.raises(ValueError, match="needs a total"):
            share_out(total, [Decimal(w) for w in weights])


def test_a_price_is_rounded_up_to_the_next_half() -> None:
    """Never down: a margin asked for is a margin kept."""
    assert round_up(Decimal("9.51")) == Decimal("10.00")
    assert round_up(Decimal("9.50")) == Decimal("9.50")

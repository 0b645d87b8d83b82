from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.quantity.preference import Preference
from rushlight.web.adding import adding_up, coin, whole

PENNY = Decimal("0.01")
amounts = st.lists(
    st.decimals(min_value=-(10**6), max_value=10**6, allow_nan=False, places=4), max_size=30
)


@given(amounts)
def test_a_column_comes_to_its_total_and_no_line_is_off_by_a_coin(values: list[Decimal]) -> None:
    """Whatever the signs: the sum of what is shown is the sum, shown."""
    found = adding_up(values, PENNY)
    assert sum(found, Decimal(0)) == whole(sum(values, Decimal(0)), PENNY)
    assert all(abs(one - value) < PENNY for one, value in zip(found, values, strict=True))
    assert all(one == whole(one, PENNY) for one in found)


def test_the_coins_left_over_go_to_what_was_cut_the_most() -> None:
    """Three thirds of a pound: the first has the odd penny (largest remainder, by hand)."""
    third = Decimal("0.3333")
    assert adding_up([third, third, Decimal("0.3334")], PENNY) == [
        Decimal("0.33"),
        Decimal("0.33"),
        Decimal("0.34"),
    ]
    assert adding_up([], PENNY) == []


@pytest.mark.parametrize(("currency", "step"), [("GBP", "0.01"), ("JPY", "1"), ("XYZ", "0.01")])
def test_a_coin_is_that_of_the_currency(currency: str, step: str) -> None:
    """The yen has no smaller one (ISO 4217); a currency that is not known has hundredths."""
    assert coin(Preference(currency=currency)) == Decimal(step)

"""Money: exact, in one currency, never negative."""

from decimal import Decimal

import pytest

from rushlight.errors import BadInput
from rushlight.quantity.money import CURRENCIES, money


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("4.20", "4.20"),
        ("4,20", "4.20"),
        ("£4.20", "4.20"),
        ("£ 4.20", "4.20"),
        ("4,20 EUR", "4.20"),
        ("4,20€", "4.20"),
        ("gbp 4.2", "4.20"),
        ("$12", "12.00"),
        ("50p", "0.50"),
        ("50 p", "0.50"),
        ("99¢", "0.99"),
        ("99 c", "0.99"),
        ("1,250.00", "1250.00"),
        ("1.250,00 €", "1250.00"),
        ("1 250 kr", "1250.00"),
        ("1,250,000", "1250000.00"),
        ("0", "0.00"),
    ],
)
def test_an_amount_is_read_exactly(text: str, amount: str) -> None:
    """With its two decimals at least, so that 4.2 reads as money."""
    assert str(money(text)) == amount


@pytest.mark.parametrize(
    "text",
    [
        "",
        "£",
        "-4",
        "-£4.20",
        "£-4.20",
        "1,250",
        "4.20001",
        "4.20 zloty",
        "4.20 bitcoins",
        "£4.20 EUR",
        "p50",
        "£50p",
        "4 for 3",
        "1e3",
        "nan",
        "1/2",
        "4-5",
    ],
)
def test_what_is_no_single_amount_is_refused(text: str) -> None:
    """A negative, doubtful or contradictory amount is not guessed at."""
    with pytest.raises(BadInput):
        money(text)


def test_another_currency_than_the_expected_one_is_refused() -> None:
    """No exchange rate is made up."""
    assert money("£4.20", currency="GBP") == Decimal("4.20")
    assert money("$4.20", currency="CAD") == Decimal("4.20")
    assert money("50p", currency="GBP") == Decimal("0.5")
    for text in ("€4.20", "4.20 USD", "50¢"):
        with pytest.raises(BadInput, match="not in GBP"):
            money(text, currency="GBP")


@pytest.mark.parametrize("code", CURRENCIES)
def test_every_currency_is_read_by_code_and_by_sign(code: str) -> None:
    """Whichever she likes to write."""
    for text in (f"4.20 {code}", f"{code} 4.20", f"{CURRENCIES[code].symbol}4.20"):
        assert money(text, currency=code) == Decimal("4.20")

"""Money, as typed: "4.20", "£4.20", "4,20 EUR", "50p". Exact, in Decimal.

At most four decimals, as the workshop keeps money in 1/10 000 of the currency.
"1,250" is refused here as everywhere: type "1250" or "1,250.00".
"$" is read for every currency called dollar. No conversion is ever made: an
amount in another currency than the expected one is an error.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from rushlight.errors import BadInput
from rushlight.quantity import reading
from rushlight.quantity.reading import quoted

EXAMPLE = "“4.20”, “£4.20” or “4,20 EUR”"


@dataclass(frozen=True, slots=True)
class Currency:
    """How a currency is written; places: decimals of its smallest coin (ISO 4217)."""

    code: str
    symbol: str
    places: int = 2
    hundredth: str = ""


# Codes and decimals: ISO 4217, from memory. Signs: common practice.
CURRENCIES: dict[str, Currency] = {
    c.code: c
    for c in (
        Currency("GBP", "£", hundredth="p"),
        Currency("EUR", "€", hundredth="c"),
        Currency("USD", "$", hundredth="¢"),
        Currency("CAD", "$", hundredth="¢"),
        Currency("AUD", "$", hundredth="c"),
        Currency("NZD", "$", hundredth="c"),
        Currency("CHF", "Fr"),
        Currency("SEK", "kr"),
        Currency("NOK", "kr"),
        Currency("DKK", "kr"),
        Currency("PLN", "zł"),
        Currency("CZK", "Kč"),
        Currency("INR", "₹"),
        Currency("ZAR", "R"),
        Currency("JPY", "¥", places=0),
    )
}
_AMOUNT = re.compile(
    r"(?P<before>[^0-9.,]*)(?P<number>[.,]?[0-9][0-9., ]*?) ?(?P<after>[^0-9., ]*)"
)
_PLACES = 4
_HUNDREDTHS = {
    mark: frozenset(c.code for c in CURRENCIES.values() if c.hundredth == mark) for mark in "pc¢"
}


def money(text: str, *, currency: str | None = None) -> Decimal:
    """Return an amount of money, zero or more, exactly as typed.

    currency: the code expected, such as "GBP"; None accepts any known one.
    """
    line = reading.clean(text, example=EXAMPLE)
    match = _AMOUNT.fullmatch(line)
    if match is None:
        raise BadInput.one(f"{quoted(text)} is not an amount of money.", f"Type it like {EXAMPLE}.")
    if "-" in match["before"]:
        raise BadInput.one(f"{quoted(text)} is less than zero.", "Leave out the minus.")
    value = reading.number(match["number"], example=EXAMPLE)
    before, after = match["before"].strip(" +"), match["after"]
    if after in _HUNDREDTHS and not before:
        _check(text, _HUNDREDTHS[after], currency)
        value /= 100
    else:
        _check(text, _codes(before) & _codes(after), currency)
    if (value * 10**_PLACES).denominator != 1:
        raise BadInput.one(
            f"{quoted(text)} has more than {_PLACES} decimals.",
            f"Use at most {_PLACES} decimals.",
        )
    places = next(n for n in range(2, _PLACES + 1) if (value * 10**n).denominator == 1)
    return Decimal(int(value * 10**places)).scaleb(-places)


def _codes(mark: str) -> frozenset[str]:
    """Return the codes of every currency that is written so; of all of them for no mark."""
    said = mark.casefold()
    return frozenset(
        c.code for c in CURRENCIES.values() if said in ("", c.code.casefold(), c.symbol.casefold())
    )


def _check(text: str, codes: frozenset[str], expected: str | None) -> None:
    """Refuse signs that are no currency's, or another currency's than the expected one."""
    if not codes:
        raise BadInput.one(
            f"{quoted(text)} is in no currency known here.", f"Type it like {EXAMPLE}."
        )
    if expected is not None and expected in CURRENCIES and expected not in codes:
        raise BadInput.one(
            f"{quoted(text)} is not in {expected}.",
            f"Type the amount in {expected}: no exchange rate is known here.",
        )

"""Numbers as text: decimals, decimal mark, minus sign and groups of three."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal, InvalidOperation
from fractions import Fraction

from rushlight.quantity.preference import METRIC, Preference

MINUS, GROUP = "\u2212", "\u00a0"


def number(value: float | Fraction | Decimal, pref: Preference = METRIC, *, places: int = 0) -> str:
    """Return a number with a fixed number of decimals, a half rounded to even."""
    if places == 3 and pref.decimal == "," and 1 <= round(abs(Fraction(value)), 3) < 1000:  # noqa: PLR2004 - see the head
        places = 4
    return _text(_scaled(value, places), pref, places)


def _text(scaled: int, pref: Preference, places: int) -> str:
    """Return a number in units of its last decimal as text."""
    digits = str(abs(scaled)).rjust(places + 1, "0")
    before, after = digits[: len(digits) - places], digits[len(digits) - places :]
    if len(before) > 4:  # noqa: PLR2004 - four digits are read at a glance, as SI groups them
        before = f"{int(before):,}".replace(",", GROUP)
    return (MINUS if scaled < 0 else "") + before + (pref.decimal + after if after else "")


def _scaled(value: float | Fraction | Decimal, places: int) -> int:
    """Return a number in units of its last decimal; money, which is most, the short way."""
    if isinstance(value, Decimal):
        try:
            short = value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
            return int(short.scaleb(places))
        except InvalidOperation:  # more digits than decimal arithmetic keeps
            pass
    scaled: int = round(Fraction(value) * 10**places)
    return scaled


def trimmed(value: Fraction, pref: Preference, places: int) -> str:
    """Return a number rounded to decimals, without those that are zero at its end."""
    scaled: int = round(value * 10**places)
    while places and scaled % 10 == 0:
        scaled, places = scaled // 10, places - 1
    if places == 3:  # noqa: PLR2004 - see the head
        return number(Fraction(scaled, 1000), pref, places=places)
    return _text(scaled, pref, places)


def shortest(value: float) -> Fraction:
    """Return the float's shortest decimal: the 0.1 that was meant, not its binary neighbour."""
    return Fraction(repr(float(value)))

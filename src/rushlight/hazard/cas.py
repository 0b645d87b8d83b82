"""CAS registry numbers: shape and check digit."""

from __future__ import annotations

import re

from rushlight.errors import BadInput

_SHAPE = re.compile(r"0*(\d{2,7})\s*[-\u2010-\u2015]\s*(\d{2})\s*[-\u2010-\u2015]\s*(\d)")


def check_digit(body: str) -> int:
    """Return the check digit [1] of a CAS number's digits without it.

    The last digit counts once, the one before it twice, and so on; the sum modulo 10.
    Source: CAS, "CAS Registry Number check digit verification" (from memory).
    """
    return sum(place * int(digit) for place, digit in enumerate(reversed(body), start=1)) % 10


def read_cas(text: str) -> str:
    """Return a CAS number in its plain shape ``78-70-6``, or say what is wrong with it."""
    match = _SHAPE.fullmatch(text.strip())
    if match is None:
        raise BadInput.one(
            f"“{text.strip()}” is not shaped like a CAS number.",
            "Type it as on the safety data sheet, such as 78-70-6, or leave it empty.",
        )
    first, second, digit = match.groups()
    right = check_digit(first + second)
    if int(digit) != right:
        raise BadInput.one(
            f"The last digit of CAS number {first}-{second}-{digit} does not fit the others"
            f" (they call for {right}).",
            "Compare it with the safety data sheet digit by digit.",
        )
    return f"{first}-{second}-{digit}"

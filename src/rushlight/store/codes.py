"""Codes that are read aloud, typed and scanned: each ends in a check character.

| code | of | made of |
|---|---|---|
| `M1042-8` | a lot of a material | its number |
| `260518-01-9` | the jars of a pour | the day it was poured, and which pour of that day |
| `S31-8` | an order | its number |

The last digit checks the others: ISO/IEC 7064 MOD 11,10, which finds every wrong digit and
nearly every pair of digits that changed places. Digits only, beside the first letter, so
that no letter is taken for one.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Final

from rushlight.errors import BadInput

STOCK: Final = "M"
ORDER: Final = "S"
_SHAPE: Final = re.compile(r"(?:(?P<kind>[MS])(?P<serial>\d{1,12})|(?P<day>\d{6})(?P<nth>\d{2,4}))")
# blanks and dashes of every kind, and what is not seen: a paste brings it along
_NOTHING: Final = re.compile(r"[\s\u00ad\u200b\u2010-\u2015\u2212\ufeff_./-]+")
_LONGEST: Final = 40


def stock_code(serial: int) -> str:
    """Return the code of a lot of a material."""
    return f"{STOCK}{serial}-{_check(str(serial))}"


def order_code(serial: int) -> str:
    """Return the code of an order."""
    return f"{ORDER}{serial}-{_check(str(serial))}"


def jar_code(day: date, number: int) -> str:
    """Return the code of the jars of a pour: the day, and which one of that day (from 1)."""
    digits = f"{day:%y%m%d}{number:02d}"
    return f"{digits[:6]}-{digits[6:]}-{_check(digits)}"


def check(text: str) -> str:
    """Return a code as typed or scanned in its usual form; spaces and dashes do not matter.

    BadInput says whether it is no code at all, or one with a slip in it.
    """
    bare = _NOTHING.sub("", text[:_LONGEST]).upper()
    found = _SHAPE.fullmatch(bare[:-1]) if bare else None
    if found is None or len(text) > _LONGEST or not bare.isascii():
        raise BadInput.one(
            f"“{text[:_LONGEST]}” is not a code of ours.",
            "Type it as it stands on the label, like 260518-01-9 or M1042-8.",
        )
    digits = found["serial"] or f"{found['day']}{found['nth']}"
    if bare[-1] != _check(digits):
        raise BadInput.one(
            f"“{text}” has a slip in it: its last digit does not fit the others.",
            "Read the code again, digit by digit.",
        )
    if found["kind"]:
        return f"{found['kind']}{digits}-{bare[-1]}"
    return f"{digits[:6]}-{digits[6:]}-{bare[-1]}"


def _check(digits: str) -> str:
    from stdnum.iso7064.mod_11_10 import calc_check_digit

    return str(calc_check_digit(digits))

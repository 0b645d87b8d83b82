"""How a number is written, and how numbers and units follow one another.

Read: ``12``, ``1250``, ``1 250``, ``0.5``, ``0,5``, ``.5``, ``1,250.5``, ``1.250,5``,
``1,250,000``, ``3/4``, ``2 3/4``, ``2-3/4``, ``2¾``, a sign before any of them.
Between groups of three digits a space may be plain, no-break or thin.

Decided on purpose:

* ``1,250`` is refused. It is a thousand in one country and one and a quarter
  in the next, and a guess is wrong by a factor of 1000. The same text must also
  mean the same when the preferred decimal mark is changed, so no preference
  decides it. ``0,125`` and ``1250,125`` have only one reading and are read.
* ``1.250`` is one and a quarter: a single point is always the decimal mark.
* Only the digits 0 to 9 are read. Digits of other scripts are refused, as a
  mixture of them can look like a different number.
* ``1e3``, ``nan`` and ``inf`` are refused: no scale shows them.
* At most 12 digits before and 12 after the decimal mark, and 80 characters in all.
* Characters that cannot be seen (zero width, text direction, control) are refused.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from rushlight.errors import BadInput

LONGEST = 80
_SHOWN = 40
_DIGITS = 12
_VULGAR = {
    sign: unicodedata.normalize("NFKC", sign).replace("⁄", "/") for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
}
_SPACES = dict.fromkeys(map(ord, "\t\u00a0\u2002\u2003\u2005\u2007\u2008\u2009\u200a\u202f"), " ")
_SIGNS = str.maketrans({"\u2212": "-", "\u2012": "-", "\u2013": "-", "⁄": "/", "∕": "/"})
_INVISIBLE = frozenset({"Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"})

_TERM = re.compile(
    r"(?P<number>(?:[+-] ?)?[.,]?[0-9](?:[0-9.,/ -]*[0-9])?)"
    r"(?P<unit>[^0-9]*?)(?=(?:[+-] ?)?[.,]?[0-9]|$)"
)
_EXPONENT = re.compile(r"[0-9][.,]? ?[eE] ?[+-]?[0-9]")
_FRACTION = re.compile(r"(?:([0-9]+)[ -])?([0-9]{1,4}) ?/ ?([0-9]{1,4})")
_PLAIN = re.compile(r"([0-9]*)(?:[.,]([0-9]+))?")
_GROUPED = re.compile(
    r"([1-9][0-9]{0,2}(?:"
    r"(?: [0-9]{3})+(?=[.,]|$)|(?:,[0-9]{3})+(?=\.)|(?:\.[0-9]{3})+(?=,)"
    r"|(?:,[0-9]{3}){2,}$|(?:\.[0-9]{3}){2,}$))(?:[.,]([0-9]+))?"
)
_EITHER = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True, slots=True)
class Term:
    """A number and the text of the unit after it (which may be empty)."""

    number: Fraction
    unit: str
    typed: str


def quoted(text: str) -> str:
    """Return what was typed in quotation marks, short and with nothing invisible in it."""
    text = text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"
    return "“" + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text) + "”"


def clean(text: str, *, example: str) -> str:
    """Return the text with one kind of space, minus and fraction; refuse what is no text to read.

    Raises BadInput when nothing was typed, when it is too long, or when it
    holds characters that cannot be seen or digits other than 0 to 9.
    """
    text = text.strip().translate(_SPACES)
    remedy = f"Type it like {example}."
    if not text:
        raise BadInput.one("Nothing was typed.", remedy)
    if len(text) > LONGEST:
        raise BadInput.one(f"{quoted(text)} is too long ({len(text)} characters).", remedy)
    if any(unicodedata.category(c) in _INVISIBLE for c in text):
        raise BadInput.one(f"{quoted(text)} holds a character that cannot be seen.", remedy)
    if any(c.isdecimal() and not c.isascii() for c in text):
        raise BadInput.one(f"{quoted(text)} has digits other than 0 to 9.", remedy)
    for sign, written in _VULGAR.items():
        # a space on both sides, so that "2¾4" does not become 2 3/44
        text = text.replace(sign, f" {written} ")
    text = re.sub(r"\b([cd]?m)\^?3\b", r"\1³", text.translate(_SIGNS), flags=re.IGNORECASE)
    return " ".join(text.split())


def terms(text: str, *, example: str) -> list[Term]:
    """Return the numbers with their units, in the order typed ("1 lb 4 oz" is two).

    Raises BadInput when the text is not a row of numbers and units.
    """
    line = clean(text, example=example)
    if _EXPONENT.search(line):
        raise BadInput.one(
            f"{quoted(text)} is written with an exponent.", f"Write it out, like {example}."
        )
    if _TERM.match(line) is None:
        raise BadInput.one(
            f"{quoted(text)} does not begin with a number.", f"Type it like {example}."
        )
    found: list[Term] = []
    for match in _TERM.finditer(line):  # each begins where the last one ended
        if found and match["number"][0] in ".,":
            # "1 lb.5 oz" is half an ounce or five
            raise BadInput.one(
                f"{quoted(text)} can be read in two ways.", "Put a digit before the decimal mark."
            )
        unit = match["unit"].strip()
        if match.end() < len(line):  # "1 lb, 4 oz" and "1 lb and 4 oz"
            unit = re.sub(r"(?:,|\band)$", "", unit).strip()
        found.append(Term(number(match["number"], example=example), unit, match[0].strip()))
    return found


def number(text: str, *, example: str, whole: bool = False) -> Fraction:
    """Return the number written in cleaned text, exactly; the grammar is in the module's head.

    whole: no decimals are possible here, so "1,250" has one reading.
    Raises BadInput when it is not one number.
    """
    sign, body = 1, text
    if text[:1] in ("+", "-"):
        sign, body = (-1 if text[0] == "-" else 1), text[1:].strip()
    if (fraction := _FRACTION.fullmatch(body)) is not None:
        return sign * _fraction(text, *fraction.groups(), example=example)
    if _EITHER.fullmatch(body) is not None:
        if whole:
            return Fraction(sign * int(body.replace(",", "")))
        raise BadInput.one(
            f"{quoted(text)} can be read in two ways.",
            f"Type “{body.replace(',', '')}” for {body.replace(',', ' ')}, "
            f"or “{body.replace(',', '.')}” for the decimal.",
        )
    match = _PLAIN.fullmatch(body) or _GROUPED.fullmatch(body)
    if match is None or not (match[1] or match[2]):
        raise BadInput.one(f"{quoted(text)} is not one number.", f"Type it like {example}.")
    before, after = re.sub("[ .,]", "", match[1]), match[2] or ""
    _few_digits(text, before, after)
    return sign * Fraction(f"{before or '0'}.{after or '0'}")


def _few_digits(text: str, before: str, after: str) -> None:
    """Refuse more digits than any scale, rule or thermometer shows."""
    if len(before.lstrip("0")) > _DIGITS or len(after) > _DIGITS:
        raise BadInput.one(
            f"{quoted(text)} has too many digits.",
            f"Use at most {_DIGITS} digits before and {_DIGITS} after the decimal mark.",
        )


def _fraction(text: str, whole: str | None, top: str, bottom: str, *, example: str) -> Fraction:
    """Return "2 3/4" or "3/4"; after a whole number the fraction must be less than one."""
    _few_digits(text, whole or "", "")
    if int(bottom) == 0 or (whole is not None and int(top) >= int(bottom)):
        raise BadInput.one(f"{quoted(text)} is not a fraction.", f"Type it like {example}.")
    return int(whole or "0") + Fraction(int(top), int(bottom))

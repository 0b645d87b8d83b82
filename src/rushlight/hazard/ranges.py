"""Percentages as section 3 prints them: "5 - 10 %", "< 1", "≥ 2,5 - < 10 %"."""

from __future__ import annotations

import re

from rushlight.errors import BadInput
from rushlight.quantity.si import Fraction1

_SIGN = r"(?P<s{n}>>=|<=|=>|=<|[<>≥≤=])?"
_NUMBER = r"(?P<v{n}>\d+(?:[.,]\d+)?)\s*%?"
_RANGE = re.compile(
    rf"\s*(?:c\s*)?{_SIGN.format(n=1)}\s*{_NUMBER.format(n=1)}"
    rf"\s*(?:(?:-|–|—|to|\.\.|…|<=?\s*c|≤\s*c)\s*{_SIGN.format(n=2)}\s*{_NUMBER.format(n=2)})?\s*",
    re.IGNORECASE,
)
WHOLE = 100.0


def read_range(text: str) -> tuple[Fraction1, Fraction1]:
    """Return the lower and upper end [1]; one figure is both, "< 1 %" starts at 0.

    "> 5 %" alone leaves the upper end open, which no calculation can use: a problem.
    """
    match = _RANGE.fullmatch(text)
    if match is None:
        raise BadInput.one(
            f"“{text.strip()}” is not a percentage or a range of them.",
            "Type it as on the sheet, such as 5 - 10 % or < 1 %.",
        )
    first = _percent(match["v1"])
    if match["v2"] is None:
        sign = match["s1"] or "="
        if sign in {">", ">=", "=>", "≥"}:
            raise BadInput.one(
                f"“{text.strip()}” has no upper end.",
                "Type the upper end too; where the sheet gives none, use 100 %.",
            )
        return Fraction1(0.0 if "<" in sign or sign == "≤" else first), Fraction1(first)
    second = _percent(match["v2"])
    if second < first:
        raise BadInput.one(
            f"The range “{text.strip()}” runs backwards.",
            f"Type the smaller figure first: {second * WHOLE:g} - {first * WHOLE:g} %.",
        )
    return Fraction1(first), Fraction1(second)


def read_limit(text: str) -> tuple[Fraction1, Fraction1 | None]:
    """Return lower and upper end [1] of a specific limit such as "C ≥ 5 %" or "5 ≤ C < 20"."""
    cleaned = re.sub(r"(?<=[\d%])\s*[≤<]=?\s*c\s*(?=[<≤])", " - ", text, flags=re.IGNORECASE)
    match = _RANGE.fullmatch(cleaned)
    if match is None:
        raise BadInput.one(
            f"“{text.strip()}” is not a concentration limit.",
            "Type it as on the sheet, such as ≥ 5 % or 5 - 20 %.",
        )
    low = _percent(match["v1"])
    high = None if match["v2"] is None else _percent(match["v2"])
    if high is not None and high <= low:
        raise BadInput.one(
            f"The limit “{text.strip()}” runs backwards.", "Type the smaller figure first."
        )
    return Fraction1(low), None if high is None else Fraction1(high)


def _percent(text: str) -> float:
    value = float(text.replace(",", "."))
    if value > WHOLE:
        raise BadInput.one(f"{text} % is more than 100 %.", "Check the figure.")
    return value / WHOLE

"""The fragrance supplier's certificate of use limits: read, and kept in four states."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from rushlight.errors import BadInput, Problems
from rushlight.hazard.data import table
from rushlight.hazard.ranges import read_range
from rushlight.quantity.si import Fraction1


class Standing(StrEnum):
    """What a certificate says for candles."""

    NUMBER = "a number"
    NO_RESTRICTION = "no restriction"
    NOT_PERMITTED = "not permitted"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """One oil's certificate for one category.

    limit: largest share [1] of this oil in the finished product, where standing is a number.
    """

    oil: str
    standing: Standing
    category: str = ""
    limit: Fraction1 | None = None
    amendment: int | None = None
    supplier: str = ""
    issued: str = ""


_FREE = {"no restriction", "no limit", "unrestricted", "not restricted", "100", "100 %", "100%"}
_BANNED = {"not permitted", "prohibited", "not allowed", "0", "0 %", "0%"}
_UNSAID = {"", "unknown", "?", "not stated"}


def read_certificate(oil: str, typed: Mapping[str, str]) -> Certificate:
    """Return a certificate from its fields: limit, category, amendment, supplier, issued.

    A limit needs its category and its amendment; 100 % is read as "no restriction", which
    is no promise about classification or burning. Nothing typed at all is "unknown".
    """
    problems = Problems()
    said = " ".join(typed.get("limit", "").lower().split())
    category = typed.get("category", "").strip().lower().removeprefix("category").strip()
    amendment = _amendment(typed.get("amendment", ""), problems)
    standing, limit = _standing(said, problems)
    if standing is not Standing.UNKNOWN:
        _needs(category, amendment, problems)
    problems.check()
    return Certificate(
        oil=oil,
        standing=standing,
        category=category,
        limit=limit,
        amendment=amendment,
        supplier=typed.get("supplier", "").strip(),
        issued=typed.get("issued", "").strip(),
    )


def _standing(said: str, problems: Problems) -> tuple[Standing, Fraction1 | None]:
    if said in _UNSAID:
        return Standing.UNKNOWN, None
    if said in _FREE:
        return Standing.NO_RESTRICTION, None
    if said in _BANNED:
        return Standing.NOT_PERMITTED, None
    try:
        return Standing.NUMBER, read_range(said)[1]
    except BadInput as bad:
        problems.extend(bad.at("limit").problems)
        return Standing.UNKNOWN, None


def _amendment(text: str, problems: Problems) -> int | None:
    digits = text.strip().lower().rstrip("stndrh").strip()
    if not digits:
        return None
    if not re.fullmatch(r"\d{1,4}", digits):
        problems.add("amendment", f"“{text.strip()}” is not an amendment number.", "Type it as 51.")
        return None
    return int(digits)


def _needs(category: str, amendment: int | None, problems: Problems) -> None:
    data = table("uselimit")
    since, wanted = data["renumbered_with"], data["category"]
    if not category:
        problems.add(
            "category",
            "The limit is given without its category.",
            f"Read the row of category {wanted} (candles) of the certificate and type {wanted}.",
        )
    elif amendment is not None and amendment < since:
        problems.add(
            "amendment",
            f"The categories were renumbered with amendment {since}; category {category} of"
            f" amendment {amendment} cannot be compared with today's.",
            "Ask the supplier for a certificate of a current amendment.",
        )
    elif category != wanted:
        problems.add(
            "category",
            f"Category {category} is not the one of candles.",
            f"Type the limit of category {wanted}.",
        )
    if amendment is None:
        problems.add(
            "amendment",
            "The limit is given without its amendment.",
            "Type the amendment the certificate names, such as 51.",
        )

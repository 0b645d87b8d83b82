"""Hazard classes and categories by their short codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from rushlight.errors import BadInput
from rushlight.hazard.data import table
from rushlight.hazard.law import Law


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardClass:
    """A class with its category, such as "Skin Sens. 1B", and what it puts on a label.

    rank orders a family: 1 is the worst; only the worst of a family is kept.
    """

    code: str
    h: str
    family: str
    rank: int
    pictogram: str
    signal: str
    laws: frozenset[Law]
    chapter: str


@cache
def known() -> Mapping[str, HazardClass]:
    """Return every class by its code."""
    return {
        code: HazardClass(
            code=code,
            h=row["h"],
            family=row["family"],
            rank=row["rank"],
            pictogram=row["pictogram"],
            signal=row["signal"],
            laws=frozenset(Law(law) for law in row["laws"]),
            chapter=row["chapter"],
        )
        for code, row in table("classes").items()
    }


def hazard_class(code: str) -> HazardClass:
    """Return a class by its code, or raise `BadInput`."""
    try:
        return known()[code]
    except KeyError:
        raise BadInput.one(
            f"“{code}” is not a hazard class Rushlight knows.",
            "Write it as in section 3 of the safety data sheet, such as Skin Sens. 1B.",
        ) from None


# Same outcome, finer category: a specific limit given for one of these
# overrides the limit of the outcome on the right.
_PARENTS = {
    "Skin Sens. 1A": "Skin Sens. 1",
    "Skin Sens. 1B": "Skin Sens. 1",
    "Resp. Sens. 1A": "Resp. Sens. 1",
    "Resp. Sens. 1B": "Resp. Sens. 1",
    "Eye Irrit. 2A": "Eye Irrit. 2",
    "Eye Irrit. 2B": "Eye Irrit. 2",
    "Skin Corr. 1A": "Skin Corr. 1",
    "Skin Corr. 1B": "Skin Corr. 1",
    "Skin Corr. 1C": "Skin Corr. 1",
}


def outcome(code: str) -> str:
    """Return the outcome a category belongs to: "Skin Sens. 1B" gives "Skin Sens. 1"."""
    return _PARENTS.get(code, code)

"""Facts about materials: a value as typed, and where it comes from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

TYPED = "as typed"
MAKERS_SHEET = "maker's sheet"
MEASURED = "measured"
TYPICAL = "typical of the kind"
ORIGINS = (MAKERS_SHEET, MEASURED, TYPICAL)
"""Where a fact of a material may come from."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: the value (raw, as typed), its origin and, where known, its source."""

    value: Any
    origin: str = TYPED
    source: str = ""


def fact(raw: Any, origin: str = TYPED) -> Fact:
    """Return a fact from plain text or from a {value, origin, source} table."""
    if isinstance(raw, Mapping):
        said, source = raw.get("origin"), raw.get("source")
        return Fact(
            raw.get("value"),
            said if isinstance(said, str) and said else origin,
            source if isinstance(source, str) else "",
        )
    return Fact(raw, origin)


class Shelf(Protocol):
    """Where materials are found by role and name.

    Roles: vessel, wax, fragrance, dye, additive, wick, finish, packaging.
    """

    def facts(self, role: str, name: str) -> Mapping[str, Any] | None:
        """Return the facts of a material; None where there is none of that name."""
        ...

    def names(self, role: str) -> Sequence[str]:
        """Return the names of all materials of a role."""
        ...

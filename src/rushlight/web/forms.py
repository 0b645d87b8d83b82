"""A candle document as form fields, and back.

A field's name is the dotted path of the document: ``fragrance.oils.0.parts``. What was
typed stays text, untouched. Rows left wholly empty are dropped; `Typed.place` carries a
problem found in the document back to the row it was typed in.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from rushlight.errors import BadInput, Problem

MOST_FIELDS = 600  # a candle's form has about 80
DEEPEST = 4
TABLES = frozenset({"vessel", "fill", "wax", "fragrance", "wick", "batch"})
ROWS = frozenset({"fragrance.oils", "dyes", "additives", "finishes"})
TOP = frozenset({"name", "note"})


@dataclass(frozen=True, slots=True)
class Typed:
    """A document read from form fields, and where its rows stood in the form."""

    document: dict[str, Any]
    rows: Mapping[str, int] = field(default_factory=dict)

    def place(self, place: str) -> str:
        """Return the form's name of a document's place."""
        for written, stood in self.rows.items():
            if place == written or place.startswith(written + "."):
                table = written.rsplit(".", 1)[0]
                return f"{table}.{stood}{place[len(written) :]}"
        return place

    def problems(self, problems: Iterable[Problem]) -> tuple[Problem, ...]:
        """Return problems said of the form's places."""
        return tuple(p.at(self.place(p.place)) for p in problems)


def flatten(document: Mapping[str, Any], under: str = "") -> dict[str, str]:
    """Return a document as ``{dotted name: text}``."""
    flat: dict[str, str] = {}
    for key, value in document.items():
        name = f"{under}.{key}" if under else str(key)
        if name == "vessel.profile" and isinstance(value, list | tuple):
            flat[name] = "\n".join(", ".join(map(str, pair)) for pair in value)
        elif isinstance(value, Mapping):
            flat |= flatten(value, name)
        elif isinstance(value, list | tuple):
            flat |= flatten({str(i): row for i, row in enumerate(value)}, name)
        else:
            flat[name] = str(value)
    return flat


def _profile(text: str) -> list[list[str]]:
    lines = (line.replace(";", ",").split(",", 1) for line in text.splitlines() if line.strip())
    return [[part.strip() for part in line] for line in lines]


def nest(fields: Iterable[tuple[str, str]]) -> Typed:
    """Return the document typed into a form; fields that are not a candle's are left out.

    Raises BadInput when there are more fields than a form can have.
    """
    document: dict[str, Any] = {}
    gathered: dict[str, dict[int, dict[str, str]]] = {}
    for count, (name, value) in enumerate(fields):
        if count >= MOST_FIELDS:
            raise BadInput.one("The form holds too many fields.", "Take some rows out.")
        text = value.strip()
        path = name.split(".")
        if not text or len(path) > DEEPEST:
            continue
        head, last = ".".join(path[:-2]), path[-1]
        if len(path) == 1 and name in TOP:
            document[name] = text
        elif len(path) == 2 and path[0] in TABLES:  # noqa: PLR2004 - table and key
            document.setdefault(path[0], {})[last] = (
                _profile(text) if name == "vessel.profile" else text
            )
        elif head in ROWS and path[-2].isascii() and path[-2].isdecimal() and len(path[-2]) < 4:  # noqa: PLR2004
            gathered.setdefault(head, {}).setdefault(int(path[-2]), {})[last] = text
    rows: dict[str, int] = {}
    for table, typed in gathered.items():
        stood = sorted(typed)
        rows |= {f"{table}.{new}": old for new, old in enumerate(stood)}
        listed = [typed[old] for old in stood]
        if table == "fragrance.oils":
            document.setdefault("fragrance", {})["oils"] = listed
        else:
            document[table] = listed
    return Typed(document, rows)

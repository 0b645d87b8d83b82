"""Which column is which field: proposed by the words of the heading, decided by the maker."""

from __future__ import annotations

import re
from collections.abc import Mapping as Map
from dataclasses import dataclass, field
from typing import Final

from rushlight.errors import BadInput, Problems
from rushlight.quantity import parse, units
from rushlight.quantity.money import CURRENCIES
from rushlight.workshop.exchange.kinds import Field, fields
from rushlight.workshop.exchange.table import Table

DATES: Final = {
    "ymd": "2026-05-17",
    "dmy": "17/05/2026",
    "mdy": "05/17/2026",
}
"""The ways a date may be written; which one is said by the maker, never guessed."""

PIECES: Final = frozenset(
    {"piece", "pieces", "pcs", "pc", "each", "ea", "unit", "units", "jar", "jars", "wicks", "packs"}
)
"""Words that count things: after a number they say nothing more."""

_BRACKETS: Final = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]\s*")
_AFTER: Final = re.compile(r"(.+?)(?:\s*[,/]\s*|\s+in\s+|\s+)(\S+|fl oz|imp fl oz)")
_FILLING: Final = frozenset({"the", "a", "an", "of", "our", "your"})


@dataclass(frozen=True, slots=True)
class Mapping:
    """Columns (from 0) by the key of their field, and how dates are written (`DATES`)."""

    columns: Map[str, int] = field(default_factory=dict)
    dates: str = "ymd"


def propose(kind: str, table: Table) -> Mapping:
    """Return a mapping by the words of the headings; what no field is called is left out.

    Each field takes the column whose heading is highest among its words, each column goes to
    one field only. A heading has to be one of the words whole: “price per kg” is not “price”.
    """
    free = {i: _words(name_of(heading)) for i, heading in enumerate(table.header)}
    columns: dict[str, int] = {}
    wanted = [(rank, f, word) for f in fields(kind) for rank, word in enumerate(f.words)]
    for _, asked, word in sorted(wanted, key=lambda found: found[0]):
        spelled = _words(word)
        column = next((i for i, heading in free.items() if heading == spelled), None)
        if asked.key not in columns and column is not None:
            columns[asked.key] = column
            del free[column]
    return Mapping({f.key: columns[f.key] for f in fields(kind) if f.key in columns})


def typed_mapping(kind: str, table: Table, typed: Map[str, str]) -> Mapping:
    """Return a mapping from a form: the key of a field to a column, from 0 or by its heading.

    An empty text leaves a field out; “dates” is one of `DATES`. BadInput with every problem.
    """
    problems = Problems()
    known = {f.key for f in fields(kind)}
    names = {heading.casefold(): i for i, heading in enumerate(table.header)}
    columns: dict[str, int] = {}
    for key, raw in typed.items():
        text = " ".join(str(raw).split())
        if key == "dates" or not text:
            continue
        column = names.get(text.casefold())
        if column is None and text.isascii() and text.isdigit() and int(text) < len(table.header):
            column = int(text)
        if key not in known:
            problems.add(key[:40], f"{key[:40]!r} is not a field here.", "Leave it out.")
        elif column is None:
            problems.add(key, f"There is no column “{text[:40]}”.", "Choose one that is there.")
        else:
            columns[key] = column
    dates = typed.get("dates") or "ymd"
    if dates not in DATES:
        problems.add("dates", "This is no way to write a date.", f"Choose from {', '.join(DATES)}.")
    problems.check()
    return checked(kind, table, Mapping(columns, dates))


def checked(kind: str, table: Table, mapping: Mapping) -> Mapping:
    """Return the mapping where it can be used; BadInput for a field missing or a column twice."""
    problems = Problems()
    seen: dict[int, Field] = {}
    by_key = {f.key: f for f in fields(kind)}
    if mapping.dates not in DATES:
        problems.add("dates", "This is no way to write a date.", f"Choose from {', '.join(DATES)}.")
    for key, column in mapping.columns.items():
        asked = by_key.get(key)
        if asked is None or not 0 <= column < len(table.header):
            problems.add(key[:40], "There is no such field or column.", "Choose the columns anew.")
            continue
        other = seen.setdefault(column, asked)
        if other is not asked:
            what = f"“{table.header[column]}” is taken for “{other.label}” already."
            problems.add(key, what, "Choose another column, or none.")
    for asked in by_key.values():
        if asked.needed and asked.key not in mapping.columns:
            problems.add(asked.key, f"No column is “{asked.label}”.", "Choose which one it is.")
    problems.check()
    return mapping


def name_of(heading: str) -> str:
    """Return a heading without its unit: “price (GBP)” is “price”."""
    return _parted(heading)[0]


def unit_of(heading: str) -> str:
    """Return the unit a heading names, "" for none: “price (GBP)” has “GBP”, “on hand, kg” “kg”."""
    return _parted(heading)[1]


def _parted(heading: str) -> tuple[str, str]:
    for pattern in (_BRACKETS, _AFTER):
        match = pattern.fullmatch(heading)
        if match is not None and match[1].strip() and _is_unit(match[2], bare=pattern is _AFTER):
            return match[1].strip(), match[2]
    return heading, ""


def _is_unit(text: str, *, bare: bool) -> bool:
    """Whether a text is a unit. bare: without brackets, where “m” or “each” is only a word."""
    if text.casefold() in PIECES:
        return not bare
    sign = {c.symbol.casefold() for c in CURRENCIES.values()}
    if text.casefold() in sign or text.upper() in CURRENCIES:
        return True
    if units.meanings(text):
        return not bare or text.casefold() in {"kg", "g", "mg", "lb", "oz", "ml", "mm", "%", "°c"}
    try:
        parse.density(f"1 {text}")
    except BadInput:
        return False
    return True


def _words(text: str) -> frozenset[str]:
    found = re.findall(r"\w+", text.casefold())
    return frozenset(found) - _FILLING if set(found) - _FILLING else frozenset(found)

"""The safety data sheets and certificates that a candle document carries itself.

Each fragrance oil, dye or additive may have a `sheet` (the fields of `typed.FIELDS`) and a
`certificate` (limit, category, amendment, supplier, issued).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from rushlight.candle.sheet import Role
from rushlight.errors import BadInput, Problems
from rushlight.hazard.certificate import Certificate, read_certificate
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.typed import read_sheet

KEYS = ("sheet", "certificate")
ROLES = {"fragrance": ("fragrance", "oils"), "dye": ("dyes",), "additive": ("additives",)}
"""Where a document lists the materials of a role."""
Key = tuple[Role, str]
"""A material of a candle: an oil and a dye may have the same name."""
_ROLES = {"fragrance": Role.FRAGRANCE, "dye": Role.DYE, "additive": Role.ADDITIVE}
Read = TypeVar("Read")


@dataclass(frozen=True, slots=True)
class Carried:
    """What a document carries, by the role of a material and its name in the document."""

    sheets: Mapping[Key, SafetySheet]
    certificates: Mapping[Key, Certificate]


@dataclass(frozen=True, slots=True)
class Entry:
    """One oil, dye or additive of a document: its place, role, `use` and name."""

    place: str
    role: str
    use: str
    name: str
    row: Mapping[str, Any]

    @property
    def key(self) -> Key:
        """Its role and its name: what its sheet is found by."""
        return _ROLES[self.role], self.name


def entries(document: Mapping[str, Any]) -> Iterator[Entry]:
    """Yield the oils, dyes and additives of a document; what is no table is passed over."""
    for role, path in ROLES.items():
        found: Any = document
        for key in path:
            found = found.get(key) if isinstance(found, Mapping) else None
        for at, row in enumerate(found if isinstance(found, list | tuple) else ()):
            if isinstance(row, Mapping):
                use = _text(row.get("use"))
                name = _text(row.get("name")) or use or _text(row.get("kind"))
                yield Entry(f"{'.'.join(path)}.{at}", role, use, name, row)


def carried(document: Mapping[str, Any]) -> Carried:
    """Return what a document carries; BadInput with every problem, each in its place."""
    problems = Problems()
    sheets: dict[Key, SafetySheet] = {}
    certificates: dict[Key, Certificate] = {}
    for entry in entries(document):
        sheet = _read(entry, "sheet", read_sheet, problems)
        if sheet is not None:
            sheets[entry.key] = sheet
        certificate = _read(entry, "certificate", read_certificate, problems)
        if certificate is not None:
            certificates[entry.key] = certificate
    problems.check()
    return Carried(sheets, certificates)


def _read(
    entry: Entry, key: str, reader: Callable[[str, Mapping[str, str]], Read], problems: Problems
) -> Read | None:
    raw = entry.row.get(key)
    place = f"{entry.place}.{key}"
    if raw in (None, "", {}):
        return None
    if not isinstance(raw, Mapping) or not all(isinstance(v, str) for v in raw.values()):
        problems.add(
            place,
            f"This is not a {key}: it needs fields, each a text.",
            f"Begin it with [{'.'.join(p for p in place.split('.') if not p.isdigit())}];"
            " the name of a file of rows is read only in a candle file.",
        )
        return None
    try:
        return reader(entry.name, raw)
    except BadInput as bad:
        problems.extend(bad.at(place).problems)
        return None


def _text(raw: Any) -> str:
    return raw.strip() if isinstance(raw, str) else ""

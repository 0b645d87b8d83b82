"""What was pasted as section 3, beside what was read of it, each problem in its cell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rushlight.errors import BadInput, Problem
from rushlight.hazard.component import Component
from rushlight.hazard.paste import Pasted
from rushlight.web.render import by_place
from rushlight.web.say import Say

HEADINGS = {
    "name": "Substance",
    "cas": "CAS",
    "range": "Share",
    "classes": "Classes",
    "m": "M-factors",
    "limits": "Specific limits",
    "ate": "Acute toxicity estimates",
    "ph": "pH",
    "additive": "Additive",
}
ALWAYS = ("name", "cas", "range", "classes")


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell as typed, as read where that says more, and what is wrong with it."""

    typed: str
    read: str = ""
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ReadRow:
    """A pasted row: its line, its cells in the order of the columns, and what is wrong with it."""

    line: int
    cells: tuple[Cell, ...]
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ReadTable:
    """All rows with the columns in use; problems that belong to no row stand apart."""

    columns: tuple[str, ...]
    rows: tuple[ReadRow, ...]
    problems: tuple[Problem, ...]
    wrong: int


def read_table(pasted: Pasted, say: Say) -> ReadTable:
    """Return the table of a paste."""
    used = {key for row in pasted.rows for key, cell in row.cells.items() if cell}
    keys = [key for key in HEADINGS if key in used or key in ALWAYS]
    wrong = by_place(pasted.problems)
    parts = iter(pasted.components)
    whole = len(pasted.components) == len(pasted.rows)
    rows = []
    for at, row in enumerate(pasted.rows):
        place = f"rows.{at}"
        refused = any(name.startswith(f"{place}.") for name in wrong)
        component = next(parts, None) if whole or not refused else None
        cells = tuple(
            Cell(
                row.cells.get(key, ""),
                _as_read(key, row.cells.get(key, ""), component, say),
                wrong.get(f"{place}.{key}", ""),
            )
            for key in keys
        )
        rows.append(ReadRow(row.line, cells, wrong.get(place, "")))
    return ReadTable(
        tuple(HEADINGS[key] for key in keys),
        tuple(rows),
        tuple(p for p in pasted.problems if p.place in {"rows", "rows.heading"}),
        len(pasted.problems),
    )


def _as_read(key: str, typed: str, component: Component | None, say: Say) -> str:
    if component is None:
        return ""
    if key == "range" and component.low < component.high:
        return f"counts as {say.fine(component.high)}"
    if key == "classes" and component.classes != _split(typed):
        return f"read as {', '.join(component.classes)}"
    return ""


def _split(typed: str) -> tuple[str, ...]:
    return tuple(piece.strip() for piece in typed.replace(";", ",").split(",") if piece.strip())


CERTIFICATE = ("limit", "category", "amendment", "supplier", "issued")
STANDINGS = ("a number", "no restriction", "not permitted", "unknown")


def certificate_of(typed: Mapping[str, str]) -> dict[str, str]:
    """Return the fields of a certificate from its form: one of four answers, and a figure.

    BadInput (place "limit") where answer and figure do not go together.
    """
    fields = {key: typed.get(key, "") for key in CERTIFICATE}
    standing = typed.get("standing", "")
    if standing not in STANDINGS:
        standing = "a number" if fields["limit"] else "unknown"
    if standing == "a number":
        if not fields["limit"]:
            raise BadInput.one("No limit is typed.", "Type it as printed, such as 12 %.", "limit")
        return fields
    if fields["limit"] and fields["limit"].lower() != standing:
        raise BadInput.one(
            f"“{fields['limit'][:40]}” is typed beside “{standing}”.",
            "Choose “a largest share”, or empty the field.",
            "limit",
        )
    fields["limit"] = "" if standing == "unknown" else standing
    return fields


def standing_of(typed: Mapping[str, str], standing: str) -> dict[str, str]:
    """Return what fills the certificate's form again."""
    shown = dict(typed)
    if standing != "a number":
        shown["limit"] = ""
    return shown | {"standing": typed.get("standing", standing)}


def places_of_form(problems: Iterable[Problem], stem: str) -> tuple[Problem, ...]:
    """Return problems said of the fields of one of several forms on a page."""
    return tuple(problem.at(f"{stem}.{problem.place}") for problem in problems)

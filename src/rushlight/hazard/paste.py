"""Section 3 pasted as rows or CSV: every cell kept as typed, every problem in its place."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from rushlight.errors import BadInput, Problem, Problems
from rushlight.hazard import cells
from rushlight.hazard.cas import read_cas
from rushlight.hazard.codes import read_classes
from rushlight.hazard.component import Component, Route
from rushlight.hazard.oil import SafetySheet, problems_of
from rushlight.hazard.ranges import read_range

COLUMNS = ("name", "cas", "range", "classes", "m", "limits", "ate", "ph", "additive")
_HEADINGS = {
    "name": "name", "substance": "name", "component": "name", "ingredient": "name",
    "chemical name": "name",
    "cas": "cas", "cas no": "cas", "cas number": "cas", "cas-no": "cas",
    "range": "range", "percent": "range", "%": "range", "% w/w": "range",
    "concentration": "range", "content": "range", "amount": "range",
    "class": "classes", "classes": "classes", "classification": "classes", "hazards": "classes",
    "m": "m", "m-factor": "m", "m factor": "m", "m-factors": "m",
    "limits": "limits", "scl": "limits", "specific limits": "limits",
    "specific concentration limits": "limits",
    "ate": "ate", "ates": "ate", "acute toxicity estimate": "ate",
    "ph": "ph", "additive": "additive", "additivity": "additive",
}  # fmt: skip
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Row:
    """One pasted row as typed, by column, with its line number."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Pasted:
    """What was pasted and what could be read of it; nothing typed is lost."""

    text: str
    rows: tuple[Row, ...]
    components: tuple[Component, ...]
    problems: tuple[Problem, ...]

    def check(self) -> tuple[Component, ...]:
        """Return the components, or raise every problem at once."""
        if self.problems:
            raise BadInput(*self.problems)
        return self.components


def read_rows(text: str) -> Pasted:
    """Return the components of pasted rows or CSV, with problems at ``rows.<n>.<column>``.

    Tabs, semicolons or commas part the cells; a first row of headings may set the order,
    else it is name, CAS, range, classes, M-factors, limits, ATEs, pH, additive.
    """
    problems = Problems()
    rows = tuple(_split(text, problems))
    components = []
    for at, row in enumerate(rows):
        before = len(problems.found)
        component = _component(row.cells, f"rows.{at}", problems)
        if component and len(problems.found) == before:
            components.append(component)
    if not problems.found:  # only then do rows and components go side by side
        problems.extend(
            problems_of(SafetySheet(name="section 3", components=tuple(components)), place="rows")
        )
    if not rows and not problems.found:
        problems.add("rows", "Nothing was pasted.", "Paste section 3, one substance a line.")
    return Pasted(text, rows, tuple(components), tuple(problems.found))


def _split(text: str, problems: Problems) -> Sequence[Row]:
    lines = [(n, line) for n, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if not lines:
        return []
    parting = _parting(lines[0][1])
    table = list(csv.reader((line for _, line in lines), delimiter=parting))
    order: Sequence[str] = COLUMNS
    heads = [_HEADINGS.get(cell.strip().lower().rstrip(".:")) for cell in table[0]]
    if "name" in heads:
        for cell, head in zip(table[0], heads, strict=True):
            if head is None and cell.strip():
                problems.add(
                    "rows.heading",
                    f"“{cell.strip()}” is not a column Rushlight reads.",
                    f"Use {', '.join(COLUMNS)}, or delete the column.",
                )
        order = [head or "" for head in heads]
        table, lines = table[1:], lines[1:]
    rows: list[Row] = []
    for (line, _), found in zip(lines, table, strict=False):
        extra = [cell for cell in found[len(order) :] if cell.strip()]
        if extra:
            problems.add(
                f"rows.{len(rows)}",
                f"This row has {len(extra)} more cells than there are columns: {'; '.join(extra)}.",
                "Put cells that hold the parting sign in quotation marks.",
            )
        rows.append(Row(line, {k: v.strip() for k, v in zip(order, found, strict=False) if k}))
    return rows


def _parting(line: str) -> str:
    """Tab where there is one; else the sign that splits the first line into more cells."""
    if "\t" in line:
        return "\t"
    return max(",;|", key=lambda sign: (len(next(csv.reader([line], delimiter=sign))), sign == ","))


def _component(row: Mapping[str, str], place: str, problems: Problems) -> Component | None:
    def read(column: str, reader: Callable[[str], Value]) -> Value | None:
        typed = row.get(column, "")
        if not typed or typed == "-":
            return None
        try:
            return reader(typed)
        except BadInput as bad:
            problems.extend(bad.at(f"{place}.{column}").problems)
            return None

    name = row.get("name", "")
    cas = read("cas", read_cas) or ""
    if not name and not cas:
        problems.add(f"{place}.name", "This row names no substance.", "Type its name or CAS.")
    if not row.get("range"):
        problems.add(f"{place}.range", "No percentage is given.", "Type one, such as 5 - 10 %.")
    ends = read("range", read_range)
    acute, chronic = read("m", cells.read_m) or (None, None)
    ates, unknown = read("ate", cells.read_ates) or ((), frozenset[Route]())
    classes = read("classes", read_classes) or ()
    limits = read("limits", cells.read_limits) or ()
    ph = read("ph", cells.read_ph)
    additive = read("additive", cells.read_additive)
    if ends is None:
        return None
    return Component(
        name=name or cas,
        cas=cas,
        low=ends[0],
        high=ends[1],
        classes=classes,
        m_acute=acute,
        m_chronic=chronic,
        limits=limits,
        ates=ates,
        ph=ph,
        additive=additive is not False,
        unknown=unknown,
    )

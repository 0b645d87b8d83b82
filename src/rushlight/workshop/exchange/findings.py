"""What a preview shows of each cell, and the problems of a run put in order."""

from __future__ import annotations

from collections.abc import Mapping as Map
from typing import Final

from rushlight.errors import BadInput
from rushlight.quantity.preference import Preference
from rushlight.workshop.exchange.cells import Lines, RowProblem, read_cell
from rushlight.workshop.exchange.import_materials import measure_of, role_of
from rushlight.workshop.exchange.kinds import Field, Sort
from rushlight.workshop.exchange.run import Run
from rushlight.workshop.material_views import Measure

_READ: Final = frozenset({Sort.AMOUNT, Sort.MONEY, Sort.DAY, Sort.COUNT})


def measures_of(run: Run, kind: str) -> dict[int, Measure | None]:
    """Return how the material of each row is counted; None where it is not known."""
    from rushlight.store.marks import plain
    from rushlight.store.queries.materials import materials

    # after the run, so that materials it made are among them
    rows = [] if kind == "orders" else materials(run.work.connection)
    if kind == "materials":
        own = {(row["role"], row["plain"]): Measure(row["measure"]) for row in rows}
        return {
            line.number: own.get((role_of(line), plain(line.texts.get("name", ""))))
            or measure_of(line)
            for line in run.lines.lines
        }
    known = {row[by]: Measure(row["measure"]) for by in ("plain", "slug") for row in rows}
    return {
        line.number: known.get(plain(line.texts.get("material", ""))) for line in run.lines.lines
    }


def unread(lines: Lines, pref: Preference, measures: Map[int, Measure | None]) -> list[RowProblem]:
    """Return the problems of cells that cannot be read, whatever the rest of their row."""
    found = []
    for line in lines.lines:
        for field in lines.fields:
            if field.sort in _READ:
                text = line.texts.get(field.key, "")
                _, bad = shown(field, text, pref, measures[line.number])
                if bad is not None:
                    told = bad.problems[0]
                    heading = lines.column(field.key)
                    found.append(RowProblem(line.number, heading, told.what, told.remedy))
    return found


def shown(
    field: Field, text: str, pref: Preference, measure: Measure | None
) -> tuple[str, BadInput | None]:
    """Return a cell as it was understood; as it is, with what is wrong, where it was not."""
    try:
        return (read_cell(field, text, pref, measure) if text else ""), None
    except BadInput as bad:
        return text, bad


def in_order(lines: Lines, problems: list[RowProblem]) -> tuple[RowProblem, ...]:
    """Return the problems by row and column, the first of each cell and all of a row whole."""
    order = {lines.column(f.key): i for i, f in enumerate(lines.fields)}
    first: dict[tuple[int, str], RowProblem] = {}
    for problem in problems:
        first.setdefault((problem.row, problem.column or problem.what), problem)
    return tuple(sorted(first.values(), key=lambda p: (p.row, order.get(p.column, -1))))

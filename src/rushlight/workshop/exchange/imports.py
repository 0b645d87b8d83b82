"""Imports: a preview with every problem by row, then all of it or nothing.

Preview and writing are one and the same run through the verbs of the workshop, inside a unit of
work. The preview's is always given up, so that it tells what writing would; and it is done in a
copy of the workshop where that is a file, so that no bench waits for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from collections.abc import Mapping as Map
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput, Problem
from rushlight.workshop.exchange.aside import BESIDE, aside, rehearsed
from rushlight.workshop.exchange.cells import Lines, RowProblem, lines_of
from rushlight.workshop.exchange.findings import in_order, measures_of, shown, unread
from rushlight.workshop.exchange.import_deliveries import run_deliveries
from rushlight.workshop.exchange.import_materials import run_materials
from rushlight.workshop.exchange.import_orders import run_orders
from rushlight.workshop.exchange.kinds import Field, fields
from rushlight.workshop.exchange.limits import MOST_PROBLEMS
from rushlight.workshop.exchange.mapping import Mapping, checked, propose, typed_mapping
from rushlight.workshop.exchange.run import Run
from rushlight.workshop.exchange.table import Table
from rushlight.workshop.material_views import Measure
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from rushlight.store.deeds import Work

__all__ = [
    "Field",
    "Mapping",
    "Preview",
    "PreviewRow",
    "RowProblem",
    "Written",
    "fields",
    "preview",
    "propose",
    "typed_mapping",
    "write",
]

_RUNS: Final[Map[str, Callable[[Run], None]]] = {
    "materials": run_materials,
    "deliveries": run_deliveries,
    "orders": run_orders,
}
_PLURALS: Final = {"delivery": "deliveries"}
_UNDO: Final = (
    "It can be undone in one go, as long as nothing later rests on any of it. Names of {} that "
    "were new stay."
)
_STAY: Final = {"materials": "suppliers", "deliveries": "suppliers", "orders": "buyers"}


@dataclass(frozen=True, slots=True)
class PreviewRow:
    """A row as it was understood: a text for every field of the preview, and what is wrong."""

    number: int
    values: tuple[str, ...]
    problems: tuple[RowProblem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What an import would do; nothing is written.

    fields: those that have a column, in the order of `rows`. unused: headings of columns that
    go nowhere. will: what would be written, “12 new materials and 40 lots”. undo: what can be
    undone of it, and what cannot. ready: no problem stands and there is something to write.
    """

    kind: str
    fields: tuple[Field, ...]
    headings: tuple[str, ...]
    rows: tuple[PreviewRow, ...]
    problems: tuple[RowProblem, ...]
    unused: tuple[str, ...]
    will: str
    undo: str
    ready: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What an import wrote. deed: its number, by which it is undone; None for nothing."""

    kind: str
    said: str
    counts: Map[str, int]
    deed: int | None


class _Enough(Exception):
    """Gives up the unit of work of a preview."""


def preview(shop: Workshop, kind: str, table: Table, mapping: Mapping) -> Preview:
    """Return what an import would do, with every problem of every row. Nothing is written.

    BadInput where the mapping itself cannot be used.
    """
    from rushlight.store.deeds import Work

    mapping = checked(kind, table, mapping)
    found: list[tuple[Lines, Run, Map[int, Measure | None]]] = []
    with suppress(_Enough), aside(shop) as copy, copy.store.unit_of_work() as connection:
        work = Work(connection, shop.now())
        lines, run = _ran(copy, work, kind, table, mapping)
        found.append((lines, run, measures_of(run, kind)))
        raise _Enough
    lines, run, measures = found[0]
    problems = in_order(lines, [*lines.problems, *unread(lines, run.pref, measures), *run.problems])
    by_row: dict[int, list[RowProblem]] = {}
    for problem in problems:
        by_row.setdefault(problem.row, []).append(problem)
    rows = tuple(
        PreviewRow(
            line.number,
            tuple(
                shown(f, line.texts.get(f.key, ""), run.pref, measures[line.number])[0]
                for f in lines.fields
            ),
            tuple(by_row.get(line.number, ())),
        )
        for line in lines.lines
    )
    will = _will(run.counts)
    used = set(mapping.columns.values())
    return Preview(
        kind=kind,
        fields=lines.fields,
        headings=tuple(lines.column(f.key) for f in lines.fields),
        rows=rows,
        problems=problems,
        unused=tuple(h for i, h in enumerate(table.header) if i not in used),
        will=will or ("nothing yet" if problems else "nothing: all of it is as it stands"),
        undo=_UNDO.format(_STAY[kind]),
        ready=bool(will) and not problems,
    )


def write(
    shop: Workshop, kind: str, table: Table, mapping: Mapping, *, key: str | None = None
) -> Written:
    """Write all of an import in one unit of work; BadInput with every problem, and nothing is.

    It is one deed, and undone as one. It is worked out in a copy of the workshop where that is a
    file, so that other benches wait for the rows to be written and for nothing else; and in the
    workshop itself where something that it may rest on was written there meanwhile.
    """
    from rushlight.store.deeds import deed_of

    mapping, verb, at = checked(kind, table, mapping), f"import.{kind}", shop.now()

    def does(place: Workshop, work: Work) -> None:
        _written(place, work, kind, table, mapping)

    known = rehearsed(shop, verb, does, at=at, key=key)
    with deed_of(shop.store, verb, at=at, key=key) as work:
        if work.first is None and (known is None or not known.written(work, BESIDE)):
            does(shop, work)
        told = work.outcome()
    return Written(kind=kind, said=told["said"], counts=told["counts"], deed=work.id)


def _written(shop: Workshop, work: Work, kind: str, table: Table, mapping: Mapping) -> None:
    """Write all of an import as part of a deed; BadInput with every problem."""
    lines, run = _ran(shop, work, kind, table, mapping)
    left = unread(lines, run.pref, measures_of(run, kind))
    _refuse(in_order(lines, [*lines.problems, *left, *run.problems]))
    work.subject = f"import:{kind}"
    work.said = f"Imported {_will(run.counts) or 'nothing new'} from {_plain(table.name)}."
    work.result = {
        "said": work.said,
        "counts": dict(run.counts),
        "touched": sorted(run.touched),
    }


def _refuse(problems: tuple[RowProblem, ...]) -> None:
    if not problems:
        return
    said = [problem.as_problem() for problem in problems[:MOST_PROBLEMS]]
    if len(problems) > MOST_PROBLEMS:
        what = f"There are {len(problems) - MOST_PROBLEMS:,} problems more."
        said.append(Problem("", what, "Put these right first."))
    raise BadInput(*said)


def _ran(
    shop: Workshop, work: Work, kind: str, table: Table, mapping: Mapping
) -> tuple[Lines, Run]:
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    pref = settings_of(settings(work.connection)).preference
    lines = lines_of(kind, table, mapping, pref)
    run = Run(shop=shop, work=work, lines=lines, pref=pref, source=_plain(table.name))
    _RUNS[kind](run)
    return lines, run


def _plain(name: str) -> str:
    """Return the name of a file as it may stand in a note."""
    return "".join(c for c in name if c.isprintable())[:60] or "a list"


def _will(counts: Counter[str]) -> str:
    parts = [
        f"{n:,} {name if n == 1 else _PLURALS.get(name, name + 's')}"
        for name, n in counts.items()
        if n
    ]
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)

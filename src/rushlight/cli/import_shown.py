"""What an import would write, or wrote, and every problem by its row."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from rushlight.cli.say import plain, say
from rushlight.cli.stores_json import Json
from rushlight.cli.stores_table import counted

if TYPE_CHECKING:
    from rushlight.workshop.exchange.imports import Preview, Written
    from rushlight.workshop.exchange.table import Table

MOST = 200
"""Problems said on a terminal; --json gives all."""


def shaped(file: str, table: Table, found: Preview, made: Written | None) -> Json:
    """Return an import as JSON; problems have the shape of all, and row and column beside."""
    return {
        "file": file,
        "kind": found.kind,
        "rows": len(table.rows),
        "written": made is not None,
        "deed": made.deed if made else None,
        "ready": found.ready,
        "will": found.will,
        "columns": {
            field.key: heading for field, heading in zip(found.fields, found.headings, strict=True)
        },
        "unused": list(found.unused),
        "problems": [
            {
                "place": problem.as_problem().place,
                "what": problem.what,
                "remedy": problem.remedy,
                "row": problem.row,
                "column": problem.column,
            }
            for problem in found.problems
        ],
    }


def show_import(found: Preview, made: Written | None) -> None:
    """Write what an import would do, or did; problems go to stderr."""
    for problem in found.problems[:MOST]:
        sys.stderr.write(plain(problem.as_problem()) + "\n")
    more = len(found.problems) - MOST
    if more > 0:
        sys.stderr.write(f"{counted(more, 'problem')} more; --json gives all.\n")
    if made is not None:
        say(made.said)
        say(found.undo)
        return
    read = (f"“{h}” is {f.label}" for f, h in zip(found.fields, found.headings, strict=True))
    say(f"Columns: {', '.join(read)}.")
    if found.unused:
        say(f"Not read: {', '.join(found.unused)}.")
    if found.problems:
        say(f"{counted(len(found.problems), 'problem')}; nothing can be written.")
    elif found.ready:
        say(f"Nothing is written yet. It would be {found.will}. Add --write to write it.")
    else:
        say("There is nothing to write: all of it is in the workshop as it stands.")

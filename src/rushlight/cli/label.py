"""`rushlight label`: labels of a candle on a sheet, at true size."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from rushlight.cli.hazard_found import Wanted, find
from rushlight.cli.label_kinds import Typed, label_of
from rushlight.cli.label_sheet import SheetWanted, sheet_of
from rushlight.cli.say import say, say_json
from rushlight.errors import BadInput

_MOST_COPIES = 5000


@dataclass(frozen=True, slots=True, kw_only=True)
class Printing:
    """Which label, how many, on what; texts as typed."""

    out: Path
    kind: str
    sheet: SheetWanted
    typed: Typed
    copies: int = 0
    date: str | None = None


def run_label(wanted: Wanted, printing: Printing, *, as_json: bool) -> None:
    """Make the label, print it on its sheet, and say what is still to mind."""
    from rushlight.cli.label_json import checks, shaped
    from rushlight.cli.write import write_whole
    from rushlight.press.labels import render

    created = _date(printing.date)
    found = find(wanted)
    kept = found.settings.paper if found.settings else "A4"
    sheet, paper = sheet_of(printing.sheet, kept)
    label = label_of(found, printing.kind, printing.typed, sheet.outline)
    free = sheet.columns * sheet.rows - sheet.start + 1
    copies = printing.copies or max(free, 1)
    if not 1 <= copies <= _MOST_COPIES:
        raise BadInput.one(
            f"{copies} labels cannot be printed.", f"Ask for 1 to {_MOST_COPIES}.", "--copies"
        )
    write_whole(printing.out, render([label] * copies, sheet, paper, created=created))
    if as_json:
        head = {
            "candle": found.jar.candle.name,
            "kind": printing.kind,
            "file": str(printing.out),
            "copies": copies,
            "sheets": len(sheet.used(copies)),
            "paper": paper.value,
        }
        say_json({**head, **shaped(label)})
        return
    for check in checks(label):
        say(f"Checked: {check['says']} ({check['source']})")
    for note in label.notes:
        say(f"Note: {note}")
    say(f"{printing.out}: {copies} labels of {sheet.outline.said}. Print at 100 %.")


def _date(typed: str | None) -> dt.date:
    if typed is None:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.date.fromisoformat(typed.strip())
    except ValueError as error:
        raise BadInput.one(
            f"“{typed}” is not a date.", 'Type year, month and day, as "2026-05-02".', "--date"
        ) from error

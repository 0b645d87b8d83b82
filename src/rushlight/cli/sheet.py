"""`rushlight sheet`: what to weigh, as a table, as JSON, as a page to print."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rushlight.cli.found import Found, find
from rushlight.cli.say import say, say_json
from rushlight.errors import BadInput
from rushlight.press.sheet_json import shaped
from rushlight.quantity.show import Preference


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked for; texts as typed."""

    candle: str
    workshop: str | None = None
    batch: Mapping[str, str]
    pdf: Path | None = None
    paper: str | None = None
    date: str | None = None
    units: str | None = None


def run_sheet(wanted: Wanted, *, as_json: bool) -> None:
    """Compute the sheet and write it as asked."""
    created = _date(wanted.date)
    found = find(wanted.candle, wanted.workshop, {"batch": wanted.batch})
    preference = found.preferred(wanted.units)
    if wanted.pdf is not None:
        _print(wanted.pdf, found, preference, wanted.paper, created)
    if as_json:
        say_json(shaped(found.sheet, found.supplies))
        return
    from rushlight.cli.sheet_table import show_sheet

    show_sheet(found.sheet, preference, found.supplies)
    if wanted.pdf is not None:
        say(f"{wanted.pdf}: written.")


def _date(typed: str | None) -> dt.date:
    if typed is None:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.date.fromisoformat(typed.strip())
    except ValueError as error:
        raise BadInput.one(
            f"“{typed}” is not a date.", 'Type year, month and day, as "2026-05-02".', "--date"
        ) from error


def _print(
    path: Path, found: Found, preference: Preference, paper: str | None, created: dt.date
) -> None:
    """Write the PDF; whatever stands at the path is replaced whole, or not at all."""
    from rushlight.cli.write import write_whole
    from rushlight.press.paper import Paper
    from rushlight.press.pour_sheet import render
    from rushlight.press.pour_sheet_from import from_batch

    kept = found.settings.paper if found.settings else "A4"
    size = Paper.LETTER if (paper or kept).casefold() == "letter" else Paper.A4
    data = from_batch(found.sheet, preference, created=created, revision=found.revision)
    write_whole(path, render(data, paper=size))

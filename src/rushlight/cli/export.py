"""`rushlight export`: the whole workshop as a zip of CSV, and its days as a calendar."""

from __future__ import annotations

from pathlib import Path

from rushlight.cli import progress, stores_table
from rushlight.cli.say import say, say_json
from rushlight.cli.workshop import opened
from rushlight.cli.write import write_whole
from rushlight.errors import BadInput
from rushlight.workshop.exchange.archive import Written, write

_MILLI = 3


def run_export(workshop: str, file: Path | None, *, calendar: Path | None, as_json: bool) -> None:
    """Write what was asked for."""
    if file is None and calendar is None:
        raise BadInput.one(
            "The file to write is missing.", "Name an archive, as workshop.zip.", "FILE"
        )
    made: Written | None = None
    with opened(workshop) as shop:
        if file is not None:
            with progress.shown("Writing", quiet=as_json) as tell:
                made = write(shop, file, progress=tell)
        if calendar is not None:
            from rushlight.workshop.exchange.calendar import events

            write_whole(calendar, events(shop))
    if as_json:
        say_json(
            {
                "file": str(made.path) if made else None,
                "size_bytes": made.bytes if made else None,
                "rows": made.rows if made else None,
                "took_s": round(made.seconds, _MILLI) if made else None,
                "calendar": str(calendar) if calendar else None,
            }
        )
        return
    if made is not None:
        size = stores_table.size(made.bytes)
        say(f"{made.path}: {made.rows:,} rows, {size}, in {made.seconds:.1f} s.")
    if calendar is not None:
        say(f"{calendar}: written.")

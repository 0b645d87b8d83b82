"""Commands that take a workshop out and bring lists and whole workshops in."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rushlight.cli.commands import AsJson, Text
from rushlight.cli.stores_options import OfWorkshop


class Kind(StrEnum):
    """What the rows of a list are."""

    MATERIALS = "materials"
    DELIVERIES = "deliveries"
    ORDERS = "orders"


class Dates(StrEnum):
    """How dates are written in a list."""

    YMD = "ymd"
    DMY = "dmy"
    MDY = "mdy"


def export(
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", help="The archive to write, *.zip.")
    ] = None,
    *,
    workshop: OfWorkshop,
    calendar: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write cures and due dates as a calendar, *.ics."),
    ] = None,
    json: AsJson = False,
) -> None:
    """Take the whole workshop out, as a zip of CSV that any program reads; or its calendar."""
    from rushlight.cli.export import run_export

    run_export(workshop, file, calendar=calendar, as_json=json)


def import_(  # noqa: PLR0913  each is an option of the command
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="A list (CSV, XLSX), or an archive of export.")
    ],
    *,
    workshop: Annotated[
        Text,
        typer.Option(metavar="FILE", help="List: the workshop, or its postgresql:// address."),
    ] = None,
    kind: Annotated[Kind | None, typer.Option("--as", help="List: what its rows are.")] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FIELD=HEADING",
            help="List: which column a field is, as “price=Cost”; once for each. FIELD= alone "
            "leaves it out. The others are known by their headings.",
        ),
    ] = None,
    dates: Annotated[Dates, typer.Option(help="List: how dates are written.")] = Dates.YMD,
    sheet: Annotated[Text, typer.Option(metavar="NAME", help="Of a workbook: which sheet.")] = None,
    write: Annotated[
        bool, typer.Option("--write", help="List: write all of it. Without, it is only looked at.")
    ] = False,
    into: Annotated[
        Text,
        typer.Option(metavar="NEW", help="Archive: the workshop to make of it, *.rushlight."),
    ] = None,
    json: AsJson = False,
) -> None:
    """Bring a list in, looked over first; or make a workshop of an archive."""
    from rushlight.cli.import_ import Asked, run_import

    run_import(
        Asked(
            file=file,
            workshop=workshop,
            kind=kind.value if kind else None,
            columns=tuple(column or ()),
            dates=dates.value,
            sheet=sheet,
            write=write,
            into=into,
        ),
        as_json=json,
    )


import_.__name__ = "import"


def backup(
    *,
    workshop: OfWorkshop,
    to: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="To this file; else beside the others, by its time."),
    ] = None,
    listed: Annotated[bool, typer.Option("--list", help="List the backups there are.")] = False,
    json: AsJson = False,
) -> None:
    """Make a backup now, and look it over; or list those there are."""
    from rushlight.cli.backup import run_backup

    run_backup(workshop, to, listed=listed, as_json=json)


def restore(
    backup: Annotated[
        Path, typer.Argument(metavar="BACKUP", help="A backup, or an archive of export.")
    ],
    *,
    to: Annotated[
        str,
        typer.Option(metavar="NEW", help="The workshop to make of it: a new file, *.rushlight."),
    ],
    replace: Annotated[
        bool,
        typer.Option("--replace", help="A file that is there is kept aside under another name."),
    ] = False,
    json: AsJson = False,
) -> None:
    """Make a workshop of a backup, which is looked over first and left as it is."""
    from rushlight.cli.backup import run_restore

    run_restore(backup, to, replace=replace, as_json=json)


ALL = (export, import_, backup, restore)

"""Options that the commands of the stores share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

OfWorkshop = Annotated[
    str,
    typer.Option("--workshop", metavar="FILE", help="A workshop file, or a postgresql:// address."),
]
Day = Annotated[
    str | None, typer.Option("--day", metavar="YYYY-MM-DD", help="Which day; today if left out.")
]
Csv = Annotated[
    Path | None, typer.Option("--csv", metavar="OUT", help="Write it for a spreadsheet.")
]
Pdf = Annotated[Path | None, typer.Option("--pdf", metavar="OUT", help="Write it to print.")]
Note = Annotated[str | None, typer.Option(metavar="TEXT", help="A remark to keep.")]
PourGiven = Annotated[int, typer.Argument(metavar="N", min=1, help="The number of the pour.")]

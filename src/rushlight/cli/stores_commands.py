"""Commands of the stores and their options: receiving, tracing, what it is all worth."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from rushlight.cli.commands import AsJson, Text
from rushlight.cli.stores_options import Csv, Day, Note, OfWorkshop, Pdf


class SpreadBy(StrEnum):
    """How freight or duty is shared out among the lines."""

    VALUE = "value"
    MASS = "mass"


def receive(  # noqa: PLR0913  each is an option of the command
    *,
    workshop: OfWorkshop,
    line: Annotated[
        list[str],
        typer.Option(
            metavar="LINE",
            help="What came, as “Millpond soy, 2 x 10 kg @ 52.00, lot MS-2209, until 2027-05-31”; "
            "once for each. Name, packs and their size are needed; “retest” goes for “until”.",
        ),
    ],
    supplier: Annotated[Text, typer.Option(metavar="NAME", help="Who sent it.")] = None,
    day: Day = None,
    reference: Annotated[
        Text, typer.Option(metavar="TEXT", help="Their invoice or delivery note.")
    ] = None,
    freight: Annotated[
        Text, typer.Option(metavar="MONEY", help="Carriage, shared out among the lines.")
    ] = None,
    freight_by: Annotated[
        SpreadBy, typer.Option(help="What the freight follows.")
    ] = SpreadBy.VALUE,
    duty: Annotated[
        Text, typer.Option(metavar="MONEY", help="Import duty, shared out likewise.")
    ] = None,
    duty_by: Annotated[SpreadBy, typer.Option(help="What the duty follows.")] = SpreadBy.VALUE,
    note: Note = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Say what it would cost, and book nothing.")
    ] = False,
    json: AsJson = False,
) -> None:
    """Take a delivery in: its lots, with what each cost to have it here."""
    from rushlight.cli.receive import Wanted, run_receive

    typed = {
        "supplier": supplier,
        "day": day,
        "reference": reference,
        "note": note,
        "freight": freight,
        "freight_by": freight_by.value,
        "duty": duty,
        "duty_by": duty_by.value,
    }
    run_receive(
        Wanted(
            workshop=workshop,
            lines=tuple(line),
            typed={name: text for name, text in typed.items() if text is not None},
            only_look=dry_run,
        ),
        as_json=json,
    )


def trace(  # noqa: PLR0913  each is an option of the command
    code: Annotated[
        str,
        typer.Argument(
            metavar="CODE",
            help="Of a lot, of jars or an order; a pour's number, or a supplier's own lot code.",
        ),
    ],
    *,
    workshop: OfWorkshop,
    recall: Annotated[
        bool,
        typer.Option("--recall", help="Which jars are touched, where they are, whom to tell."),
    ] = False,
    csv: Csv = None,
    pdf: Pdf = None,
    json: AsJson = False,
) -> None:
    """Follow a lot, jars or an order: where it came from, and where it went."""
    from rushlight.cli.trace import run_recall, run_trace

    if recall:
        run_recall(workshop, code, csv=csv, pdf=pdf, as_json=json)
    else:
        run_trace(workshop, code, csv=csv, pdf=pdf, as_json=json)


def value(  # noqa: PLR0913  each is an option of the command
    *,
    workshop: OfWorkshop,
    day: Day = None,
    margins: Annotated[
        bool, typer.Option("--margins", help="What the jars sold earned, over a period.")
    ] = False,
    first: Annotated[
        Text,
        typer.Option(
            "--from", metavar="YYYY-MM-DD", help="Margins: first day; of this year if left out."
        ),
    ] = None,
    last: Annotated[
        Text, typer.Option("--to", metavar="YYYY-MM-DD", help="Margins: last day; today.")
    ] = None,
    csv: Csv = None,
    json: AsJson = False,
) -> None:
    """Say what the stores are worth on a day, or what was earned over a period."""
    if margins:
        from rushlight.cli.margins import Period, run_margins

        run_margins(workshop, Period(first, last, day), csv=csv, as_json=json)
        return
    from rushlight.cli.value import run_value

    run_value(workshop, day, period=(first, last), csv=csv, as_json=json)


ALL = (receive, trace, value)

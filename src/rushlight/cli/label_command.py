"""The command that prints labels."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rushlight.cli.commands import AsJson, CandleGiven, InWorkshop, PaperChoice, Text
from rushlight.cli.label_commands import LanguageGiven, LawGiven, WithPictograms


class Kind(StrEnum):
    """Which label."""

    HAZARD = "hazard"
    WARNING = "warning"
    FRONT = "front"
    LOT = "lot"
    BARCODE = "barcode"
    QR = "qr"
    US_CAUTION = "us-caution"


def label(  # noqa: PLR0913  each is an option of the command
    candle: CandleGiven,
    *,
    pdf: Annotated[Path, typer.Option(metavar="OUT", help="Write the labels to print.")],
    workshop: InWorkshop = None,
    kind: Annotated[Kind, typer.Option(help="Which label.")] = Kind.HAZARD,
    sheet: Annotated[
        Text, typer.Option(metavar="NAME", help="A usual sheet, as “8 of 99.1 x 67.7”.")
    ] = None,
    size: Annotated[
        Text, typer.Option(metavar="W x H", help="Or by measures: one label, as “74 x 52” mm.")
    ] = None,
    grid: Annotated[
        Text, typer.Option(metavar="COLUMNS x ROWS", help="Labels on a sheet, as “2 x 5”.")
    ] = None,
    margins: Annotated[
        Text, typer.Option(metavar="LEFT x TOP", help="To the first label; centred if left out.")
    ] = None,
    pitch: Annotated[
        Text, typer.Option(metavar="X x Y", help="From label to label; no gap if left out.")
    ] = None,
    round_: Annotated[bool, typer.Option("--round", help="The labels are round.")] = False,
    start: Annotated[int, typer.Option(help="First cell that still has its label.")] = 1,
    copies: Annotated[int, typer.Option(help="How many; a full sheet if left out.")] = 0,
    net: Annotated[
        Text, typer.Option(metavar="QUANTITY", help="Net weight as printed, as “220 g”.")
    ] = None,
    lot: Annotated[Text, typer.Option(metavar="NUMBER", help="Lot: its number.")] = None,
    poured: Annotated[
        Text, typer.Option(metavar="DATE", help="Lot: its date, as it is to be printed.")
    ] = None,
    gtin: Annotated[
        Text, typer.Option(metavar="DIGITS", help="Barcode: the number GS1 licensed to you.")
    ] = None,
    code: Annotated[
        Text, typer.Option(metavar="TEXT", help="QR or lot: what a scanner is to read.")
    ] = None,
    line: Annotated[
        Text, typer.Option(metavar="TEXT", help="Barcode or QR: a line of text beside it.")
    ] = None,
    caution: Annotated[
        list[str] | None,
        typer.Option(metavar="HAZARD", help="US caution: a hazard it has; may be repeated."),
    ] = None,
    contains: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NAME",
            help="US caution: a hazardous component; may be repeated.",
        ),
    ] = None,
    maker: Annotated[
        Text,
        typer.Option(metavar="TEXT", help="US caution: name and place; of the workshop if not."),
    ] = None,
    law: LawGiven = None,
    language: LanguageGiven = None,
    pictograms: WithPictograms = False,
    paper: Annotated[PaperChoice | None, typer.Option(help="Paper of the PDF.")] = None,
    date: Annotated[
        Text, typer.Option(metavar="YYYY-MM-DD", help="Date in the PDF; today if left out.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Print labels of a candle at true size: hazards, warning, front, lot, codes, US caution."""
    from rushlight.cli.hazard_found import Wanted
    from rushlight.cli.label import Printing, run_label
    from rushlight.cli.label_kinds import Typed
    from rushlight.cli.label_sheet import SheetWanted

    run_label(
        Wanted(
            candle=candle,
            workshop=workshop,
            law=law.value if law else None,
            language=language.value if language else None,
            pictograms=pictograms,
        ),
        Printing(
            out=pdf,
            kind=kind.value,
            sheet=SheetWanted(
                name=sheet,
                size=size,
                grid=grid,
                margins=margins,
                pitch=pitch,
                round=round_,
                start=start,
                paper=paper.value if paper else None,
            ),
            typed=Typed(
                net=net or "",
                lot=lot or "",
                poured=poured or "",
                gtin=gtin or "",
                code=code or "",
                line=line or "",
                cautions=tuple(caution or ()),
                contains=tuple(contains or ()),
                maker=maker or "",
            ),
            copies=copies,
            date=date,
        ),
        as_json=json,
    )

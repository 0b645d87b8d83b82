"""The commands and their options; the work of each is in a module of its own.

Texts such as "2 kg" or "81 C" are handed on as typed: the same parsers read them here,
in a candle file and on a page, and say the same when they cannot.
"""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

Text = str | None


class PaperChoice(StrEnum):
    """Paper in the printer."""

    A4 = "a4"
    LETTER = "letter"


class Units(StrEnum):
    """Units of a table."""

    METRIC = "metric"
    US = "us"


AsJson = Annotated[bool, typer.Option("--json", help="Write JSON, units in the keys.")]
InWorkshop = Annotated[
    Text,
    typer.Option(
        "--workshop", metavar="FILE", help="Find the candle in this workshop: a file or an address."
    ),
]
CandleGiven = Annotated[
    str, typer.Argument(metavar="CANDLE", help="A candle file, or with --workshop a candle's name.")
]
Port = Annotated[
    int | None,
    typer.Option(min=0, max=65535, help="Port on this machine; 0 takes any that is free."),
]
NoBrowser = Annotated[bool, typer.Option("--no-browser", help="Do not open the browser.")]
UnitsGiven = Annotated[Units | None, typer.Option(help="Units of the table.")]


def demo(
    *,
    workshop: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Keep the demo workshop in this file.")
    ] = None,
    port: Port = None,
    no_browser: NoBrowser = False,
) -> None:
    """Open the demo workshop, an invented one, in the browser."""
    from rushlight.cli.serve import serve_demo

    serve_demo(workshop, port=port, browser=not no_browser)


def open_(
    file: Annotated[
        str,
        typer.Argument(
            metavar="FILE", help="A workshop file, *.rushlight, or a postgresql:// address."
        ),
    ],
    *,
    create: Annotated[bool, typer.Option("--create", help="Make a new, empty workshop.")] = False,
    port: Port = None,
    no_browser: NoBrowser = False,
) -> None:
    """Open your workshop in the browser."""
    from rushlight.cli.serve import serve_workshop

    serve_workshop(file, create=create, port=port, browser=not no_browser)


open_.__name__ = "open"


def sheet(  # noqa: PLR0913  each is an option of the command
    candle: CandleGiven,
    *,
    workshop: InWorkshop = None,
    jars: Annotated[Text, typer.Option(metavar="COUNT", help="Jars to pour.")] = None,
    spares: Annotated[Text, typer.Option(metavar="COUNT", help="Jars poured beyond those.")] = None,
    capacity: Annotated[
        Text, typer.Option(metavar="MASS", help="What a melter or pitcher holds, as “2 kg”.")
    ] = None,
    pdf: Annotated[
        Path | None, typer.Option(metavar="OUT", help="Write the pour sheet to print.")
    ] = None,
    paper: Annotated[PaperChoice | None, typer.Option(help="Paper of the PDF.")] = None,
    date: Annotated[
        Text, typer.Option(metavar="YYYY-MM-DD", help="Date of the pour; today if left out.")
    ] = None,
    units: UnitsGiven = None,
    json: AsJson = False,
) -> None:
    """Say what to weigh, for one jar and for a batch."""
    from rushlight.cli.sheet import Wanted, run_sheet

    typed = {"jars": jars, "spares": spares, "capacity": capacity}
    run_sheet(
        Wanted(
            candle=candle,
            workshop=workshop,
            batch={key: value for key, value in typed.items() if value is not None},
            pdf=pdf,
            paper=paper.value if paper else None,
            date=date,
            units=units.value if units else None,
        ),
        as_json=json,
    )


def pot(  # noqa: PLR0913  each is an option of the command
    candle: Annotated[
        Text,
        typer.Argument(metavar="[CANDLE]", help="A candle: its wax, pour window and pot."),
    ] = None,
    *,
    workshop: InWorkshop = None,
    wax: Annotated[
        Text, typer.Option(metavar="KIND", help="A kind of wax, as “soy container”.")
    ] = None,
    mass: Annotated[
        Text, typer.Option(metavar="MASS", help="What is in the pitcher, as “2 kg”.")
    ] = None,
    reading: Annotated[
        list[str] | None,
        typer.Option(metavar="TIME=TEMP", help="A reading, as “14:05=81C”; once for each."),
    ] = None,
    pour: Annotated[
        Text, typer.Option(metavar="RANGE", help="Pour window, as “155-170 F”.")
    ] = None,
    room: Annotated[
        Text, typer.Option(metavar="TEMP", help="Air at the bench; 21 C if left out.")
    ] = None,
    pitcher: Annotated[
        Text, typer.Option(metavar="MASS", help="The empty pitcher; 450 g if left out.")
    ] = None,
    diameter: Annotated[
        Text, typer.Option(metavar="LENGTH", help="Inside the pitcher; 150 mm if left out.")
    ] = None,
    units: UnitsGiven = None,
    json: AsJson = False,
) -> None:
    """Say when the pour window of a cooling pitcher opens and closes."""
    from rushlight.cli.pot import run_pot
    from rushlight.cli.pot_input import Wanted

    run_pot(
        Wanted(
            candle=candle,
            workshop=workshop,
            wax=wax,
            mass=mass,
            readings=tuple(reading or ()),
            pour=pour,
            room=room,
            pitcher=pitcher,
            diameter=diameter,
            units=units.value if units else None,
        ),
        as_json=json,
    )


def price(
    candle: CandleGiven,
    *,
    workshop: InWorkshop = None,
    currency: Annotated[
        Text, typer.Option(metavar="CODE", help="Of a candle file; GBP if left out.")
    ] = None,
    json: AsJson = False,
) -> None:
    """Say what a jar costs and what to charge."""
    from rushlight.cli.price import run_price

    run_price(candle, workshop, currency=currency, as_json=json)


def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The candle file to write, *.toml.")],
) -> None:
    """Write an example candle file to start from, with every field explained."""
    from rushlight.cli.new import run_new

    run_new(file)


ALL = (demo, open_, sheet, pot, price, new)

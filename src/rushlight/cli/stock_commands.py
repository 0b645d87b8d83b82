"""`rushlight stock` and the commands below it."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from rushlight.cli.bench import Listed
from rushlight.cli.commands import AsJson, Text
from rushlight.cli.stores_options import OfWorkshop
from rushlight.errors import BadInput

app = typer.Typer(
    cls=Listed,
    help="Say what is in the stores: materials, their lots, finished jars.",
    rich_markup_mode=None,
)
Code = Annotated[str, typer.Argument(metavar="CODE", help="Of a lot, as it stands on its label.")]
Empty = Annotated[bool, typer.Option("--empty", help="Those used up or sold as well.")]
Limit = Annotated[int, typer.Option(min=1, max=1_000_000, help="How many at most.")]
Why = Annotated[Text, typer.Option("--why", metavar="TEXT", help="The reason, kept with it.")]


@app.callback(invoke_without_command=True)
def stock(
    ctx: typer.Context,
    *,
    workshop: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="A workshop file, or a postgresql:// address."),
    ] = None,
    json: AsJson = False,
) -> None:
    """Say what is in the stores: what is low, what expires, what cures, what is ready."""
    if ctx.invoked_subcommand is not None:
        # what stands before the name of a command below holds for it too
        below: dict[str, Any] = {"json": json} | ({"workshop": workshop} if workshop else {})
        ctx.default_map = {ctx.invoked_subcommand: below}
        return
    if workshop is None:
        raise BadInput.one(
            "The workshop is missing.", "Type --workshop and its file.", "--workshop"
        )
    from rushlight.cli.stock import run_stock

    run_stock(workshop, as_json=json)


@app.command()
def lots(
    material: Annotated[
        Text, typer.Argument(metavar="[MATERIAL]", help="Of this alone, by its name.")
    ] = None,
    *,
    workshop: OfWorkshop,
    empty: Empty = False,
    limit: Limit = 500,
    json: AsJson = False,
) -> None:
    """List the lots of materials, the first to expire first."""
    from rushlight.cli.stock_lots import run_lots

    run_lots(workshop, material, empty=empty, limit=limit, as_json=json)


@app.command()
def jars(
    candle: Annotated[
        Text, typer.Argument(metavar="[CANDLE]", help="Of this alone, by its name.")
    ] = None,
    *,
    workshop: OfWorkshop,
    empty: Empty = False,
    limit: Limit = 500,
    json: AsJson = False,
) -> None:
    """List the lots of finished jars, the oldest cure first."""
    from rushlight.cli.stock_lots import run_jars

    run_jars(workshop, candle, empty=empty, limit=limit, as_json=json)


@app.command()
def count(
    code: Code,
    amount: Annotated[
        str, typer.Argument(metavar="AMOUNT", help="What was counted, as “4.2 kg” or “24”.")
    ],
    *,
    workshop: OfWorkshop,
    why: Why = None,
    json: AsJson = False,
) -> None:
    """Enter what was counted of one lot; the difference is booked."""
    from rushlight.cli.stock_lots import run_count

    run_count(workshop, code, amount, why, as_json=json)


@app.command()
def scrap(
    code: Code,
    amount: Annotated[
        str, typer.Argument(metavar="AMOUNT", help="What is thrown away, as “200 g” or “2”.")
    ],
    *,
    workshop: OfWorkshop,
    why: Why = None,
    json: AsJson = False,
) -> None:
    """Throw some of a lot away; jars are written off as broken."""
    from rushlight.cli.stock_lots import run_scrap

    run_scrap(workshop, code, amount, why, as_json=json)

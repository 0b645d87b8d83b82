"""`rushlight pour` and the commands below it."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from rushlight.cli.bench import Listed
from rushlight.cli.commands import AsJson, Text
from rushlight.cli.stores_options import Day, Note, OfWorkshop, PourGiven

app = typer.Typer(
    cls=Listed,
    help="Plan, start and finish a pour; say what it truly took and cost.",
    rich_markup_mode=None,
)
Person = Annotated[Text, typer.Option(metavar="NAME", help="Who pours.")]


class State(StrEnum):
    """Where a pour stands."""

    PLANNED = "planned"
    RUNNING = "running"
    FINISHED = "finished"
    ABANDONED = "abandoned"


@app.command("list")
def list_(
    *,
    workshop: OfWorkshop,
    state: Annotated[State | None, typer.Option(help="Only those.")] = None,
    limit: Annotated[int, typer.Option(min=1, max=10_000, help="How many at most.")] = 50,
    json: AsJson = False,
) -> None:
    """List the pours, the newest first."""
    from rushlight.cli.pour import run_list

    run_list(workshop, state=state.value if state else None, limit=limit, as_json=json)


@app.command()
def plan(  # noqa: PLR0913  each is an option of the command
    candle: Annotated[str, typer.Argument(metavar="CANDLE", help="A candle of the workshop.")],
    *,
    workshop: OfWorkshop,
    jars: Annotated[Text, typer.Option(metavar="COUNT", help="Jars wanted.")] = None,
    spares: Annotated[Text, typer.Option(metavar="COUNT", help="Jars poured beyond those.")] = None,
    capacity: Annotated[
        Text, typer.Option(metavar="MASS", help="What a melter or pitcher holds, as “2 kg”.")
    ] = None,
    day: Day = None,
    json: AsJson = False,
) -> None:
    """Plan a pour: say what it needs and from which lots."""
    from rushlight.cli.pour import run_plan

    typed = {"jars": jars, "spares": spares, "capacity": capacity}
    batch = {name: text for name, text in typed.items() if text is not None}
    run_plan(workshop, candle, batch, day, as_json=json)


@app.command()
def start(
    pour: PourGiven,
    *,
    workshop: OfWorkshop,
    lot: Annotated[
        list[str] | None,
        typer.Option(
            metavar="NEED=CODE:AMOUNT",
            help="Take this lot, as “Lake mint=M44-7:62 g”, not the first to expire; once for "
            "each. A need named takes the lots named for it alone.",
        ),
    ] = None,
    person: Person = None,
    json: AsJson = False,
) -> None:
    """Start a planned pour: its lots are held, first expiring first."""
    from rushlight.cli.pour import run_start

    run_start(workshop, pour, lot or (), person, as_json=json)


@app.command()
def finish(  # noqa: PLR0913  each is an option of the command
    pour: PourGiven,
    *,
    workshop: OfWorkshop,
    good: Annotated[
        Text, typer.Option(metavar="JARS", help="Good jars; those wanted if left out.")
    ] = None,
    rejected: Annotated[
        list[str] | None,
        typer.Option(metavar="REASON=JARS", help="Rejected, as “sinkhole=1”; once for each."),
    ] = None,
    left: Annotated[
        list[str] | None,
        typer.Option(
            metavar="MATERIAL=AMOUNT",
            help="Left over, as “Millpond soy=120 g returned” or “… scrapped”; once for each.",
        ),
    ] = None,
    count_wrong: Annotated[
        Text,
        typer.Option(metavar="WHY", help="Why more was used than the books have in hand."),
    ] = None,
    jars_differ: Annotated[
        Text,
        typer.Option(
            metavar="WHY", help="Why there are more jars, or fewer, than can have been poured."
        ),
    ] = None,
    person: Person = None,
    note: Note = None,
    json: AsJson = False,
) -> None:
    """Finish a pour: its jars become a lot with a code, at their true cost."""
    from rushlight.cli.pour import Ending, run_finish

    texts = {"good": good, "person": person, "note": note}
    texts |= {"count_wrong": count_wrong, "jars_differ": jars_differ}
    typed = Ending(rejected=tuple(rejected or ()), left=tuple(left or ()), texts=texts)
    run_finish(workshop, pour, typed, as_json=json)


@app.command()
def show(pour: PourGiven, *, workshop: OfWorkshop, json: AsJson = False) -> None:
    """Show a pour: planned beside actual, its lots, the code of its jars."""
    from rushlight.cli.pour import run_show

    run_show(workshop, pour, as_json=json)

"""The commands of heat: set, burn, wicks and sweep."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from rushlight.cli.commands import AsJson, CandleGiven, InWorkshop, Text, UnitsGiven


class StandChoice(StrEnum):
    """What a vessel stands on."""

    WOOD = "wood"
    STONE = "stone"
    RACK = "rack"


class DraughtChoice(StrEnum):
    """The air about it."""

    SHELTERED = "sheltered"
    STILL = "still"
    SOME = "some"
    FAN = "fan"


class Ask(StrEnum):
    """What a comparison asks."""

    SET = "set"
    BURN = "burn"


Plot = Annotated[
    Path | None, typer.Option(metavar="FILE", help="Draw the curves: FILE.svg or FILE.png.")
]
Room = Annotated[
    Text, typer.Option(metavar="TEMP", help="Air about it; of the workshop, else 21 C.")
]
Draught = Annotated[DraughtChoice | None, typer.Option(help="The air about it.")]
Hours = Annotated[Text, typer.Option(metavar="TIME", help="Length of a burn; 4 h if left out.")]
WallLimit = Annotated[
    Text, typer.Option(metavar="TEMP", help="The wall is to stay below; 70 C if left out.")
]


def _typed(**given: object) -> dict[str, str]:
    return {name: str(text) for name, text in given.items() if text is not None}


def set_(  # noqa: PLR0913  each is an option of the command
    candle: CandleGiven,
    *,
    workshop: InWorkshop = None,
    pour: Annotated[
        Text, typer.Option(metavar="TEMP", help="Poured at; the sheet's if left out.")
    ] = None,
    preheat: Annotated[
        Text, typer.Option(metavar="TEMP", help="Vessel warmed to; as the room if left out.")
    ] = None,
    room: Room = None,
    gap: Annotated[
        Text, typer.Option(metavar="LENGTH", help="Between jars; alone if left out.")
    ] = None,
    stand: Annotated[StandChoice | None, typer.Option(help="What it stands on.")] = None,
    draught: Draught = None,
    refrigerator: Annotated[
        bool, typer.Option("--refrigerator", help="In the refrigerator from the pour on.")
    ] = False,
    plot: Plot = None,
    units: UnitsGiven = None,
    json: AsJson = False,
) -> None:
    """Say how a candle sets: when, where last, and what its shrinkage does."""
    from rushlight.cli.heat_found import Wanted
    from rushlight.cli.set import run_set

    typed = _typed(
        pour=pour, preheat=preheat, room=room, gap=gap,
        stand=stand.value if stand else None, draught=draught.value if draught else None,
        fridge="yes" if refrigerator else None,
    )  # fmt: skip
    asked = Wanted(candle, workshop, typed, units.value if units else None, plot)
    run_set(asked, as_json=json)


set_.__name__ = "set"


def burn(  # noqa: PLR0913  each is an option of the command
    candle: CandleGiven,
    *,
    workshop: InWorkshop = None,
    rate: Annotated[
        Text, typer.Option(metavar="G/H", help="Wax the wick burns, as “4.2 g/h”.")
    ] = None,
    hours: Hours = None,
    room: Room = None,
    draught: Draught = None,
    plot: Plot = None,
    units: UnitsGiven = None,
    json: AsJson = False,
) -> None:
    """Say how a candle burns: pool, wall, flame and life, each with its spread."""
    from rushlight.cli.burn import run_burn
    from rushlight.cli.heat_found import Wanted

    typed = _typed(rate=rate, hours=hours, room=room, draught=draught.value if draught else None)
    asked = Wanted(candle, workshop, typed, units.value if units else None, plot)
    run_burn(asked, as_json=json)


def wicks(  # noqa: PLR0913  each is an option of the command
    candle: CandleGiven,
    *,
    workshop: InWorkshop = None,
    wick: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME=G/H", help="A wick to place, as “flat 10=4.6-5.4 g/h”."),
    ] = None,
    hours: Hours = None,
    limit: WallLimit = None,
    room: Room = None,
    plot: Plot = None,
    units: UnitsGiven = None,
    json: AsJson = False,
) -> None:
    """Say which burn rates, and which wicks, are worth testing in a candle."""
    from rushlight.cli.heat_found import Wanted
    from rushlight.cli.wicks import run_wicks

    typed = _typed(hours=hours, limit=limit, room=room)
    asked = Wanted(candle, workshop, typed, units.value if units else None, plot)
    run_wicks(asked, tuple(wick or ()), as_json=json)


def sweep(  # noqa: PLR0913  each is an option of the command
    candles: Annotated[
        list[str],
        typer.Argument(metavar="CANDLE…", help="Candle files, or with --workshop names."),
    ],
    *,
    workshop: InWorkshop = None,
    ask: Annotated[Ask, typer.Option(help="How they set, or how they burn.")] = Ask.SET,
    loads: Annotated[
        Text, typer.Option(metavar="LIST", help="Fragrance loads, as “6 %; 8 %”.")
    ] = None,
    pours: Annotated[
        Text, typer.Option(metavar="LIST", help="Pour temperatures, as “60 C; 65 C”.")
    ] = None,
    rates: Annotated[
        Text, typer.Option(metavar="LIST", help="Burn rates in g/h, as “3; 4; 5”.")
    ] = None,
    room: Room = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write FILE.csv or FILE.parquet.")
    ] = None,
    processes: Annotated[
        int | None, typer.Option(min=1, max=64, help="At once; as many as processors.")
    ] = None,
    scheduler: Annotated[
        str, typer.Option(metavar="ADDRESS", help="A Dask scheduler, as “tcp://host:8786”.")
    ] = "",
    json: AsJson = False,
) -> None:
    """Work out many candles: designs, loads and pour temperatures or burn rates, as a table."""
    from rushlight.cli.sweep import Wanted, run_sweep

    run_sweep(
        Wanted(
            candles=tuple(candles),
            workshop=workshop,
            ask=ask.value,
            typed=_typed(loads=loads, pours=pours, rates=rates, room=room),
            out=out,
            processes=processes,
            scheduler=scheduler,
        ),
        as_json=json,
    )


ALL = (set_, burn, wicks, sweep)

"""`rushlight sweep`: many candles at once, as a table; Ctrl-C keeps what was worked out."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.cli.bench import INTERRUPTED
from rushlight.cli.found import find
from rushlight.cli.heat_found import ROOM
from rushlight.cli.say import say, say_json
from rushlight.errors import BadInput

if TYPE_CHECKING:
    from rushlight.candle.sheet import JarSheet
    from rushlight.workshop.heat_sweeps import Design, Planned, Row

WORTH = 60  # cases from which processes of their own are worth their start
MOST = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked for; texts as typed."""

    candles: tuple[str, ...]
    workshop: str | None
    ask: str
    typed: Mapping[str, str]
    out: Path | None
    processes: int | None
    scheduler: str = ""


def run_sweep(wanted: Wanted, *, as_json: bool) -> None:
    """Work out every case, and write the table."""
    from rushlight.workshop.heat_sweeps import as_csv, run

    write = _writer(wanted.out)
    planned = _plan(wanted)
    with _interrupts() as stopped, _executor(wanted, len(planned)) as executor:
        with _told(len(planned), quiet=as_json) as progress:
            rows = run(planned, executor=executor, progress=progress, stop=stopped)
        halted = stopped()
    if write is not None:
        write(rows)
    if as_json:
        say_json({"cases": len(planned), "stopped": halted, "rows": rows})
    elif wanted.out is None:
        sys.stdout.write(as_csv(rows))
    else:
        say(f"{wanted.out}: {len(rows)} rows written.")
    if halted:
        sys.stderr.write(f"Stopped: {len(rows)} of {len(planned)} cases are in the table.\n")
        raise SystemExit(INTERRUPTED)


def _plan(wanted: Wanted) -> list[Planned]:
    """Return the cases, refused before any time is spent where they cannot be."""
    from rushlight.heat.wick_window import WickRate
    from rushlight.workshop import heat_sweeps
    from rushlight.workshop.heat_asked import read_set

    typed = wanted.typed
    found = [find(candle, wanted.workshop, {}) for candle in wanted.candles]
    designs = [
        _design(candle, one.sheet.jar, wanted.workshop)
        for candle, one in zip(wanted.candles, found, strict=True)
    ]
    kept = next((one.settings for one in found if one.settings is not None), None)
    listed = heat_sweeps.listed(typed.get("loads", ""))
    loads = [f"{load} %" if load[-1:].isdigit() else load for load in listed]
    room = {"room": typed["room"]} if "room" in typed else {}
    place = read_set(room, room=float(kept.room) if kept else ROOM).place
    if wanted.ask == "set":
        pours = _read("--pours", heat_sweeps.temperatures, typed.get("pours", ""))
        return heat_sweeps.set_cases(designs, loads=loads, pours=pours, place=place)
    rates = _read("--rates", heat_sweeps.rates, typed.get("rates", ""))
    wicks = [WickRate("any wick", rate, rate) for rate in rates]
    planned = heat_sweeps.burn_cases(designs, loads=loads, wicks=wicks, place=place)
    if not planned:
        raise BadInput.one(
            "No burn rate is known of these wicks.", 'Type --rates "3; 4; 5".', "--rates"
        )
    return planned


def _read(place: str, reader: Callable[[str], list[float]], text: str) -> list[float]:
    try:
        return reader(text)
    except BadInput as bad:
        raise bad.at(place) from bad


def _design(candle: str, first: JarSheet, workshop: str | None) -> Design:
    from rushlight.workshop.heat_sweeps import Design

    def lay(load: str) -> JarSheet:
        if not load:
            return first
        scent: dict[str, str] = {"load": load}
        if first.candle.load is None:
            scent["basis"] = "of wax"
        return find(candle, workshop, {"fragrance": scent}).sheet.jar

    return Design(first.candle.name or candle, lay)


@contextmanager
def _interrupts() -> Iterator[Callable[[], bool]]:
    """Take Ctrl-C as a wish to stop: the cases begun end, and the table holds them."""
    asked: list[int] = []
    try:
        before = signal.signal(signal.SIGINT, lambda number, _frame: asked.append(number))
    except ValueError:  # not in the main thread, as in a test: nothing to take over
        yield lambda: False
        return
    try:
        yield lambda: bool(asked)
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _executor(wanted: Wanted, cases: int) -> Iterator[Executor]:
    """Return processes where there is enough to do or they are asked for, else a thread."""
    count = wanted.processes or (os.cpu_count() or 1)
    alone = count == 1 or (wanted.processes is None and cases < WORTH)
    if alone and not wanted.scheduler:
        with ThreadPoolExecutor(1) as one:
            yield one
        return
    from rushlight.workshop.sweep_engine import engine

    with engine(scheduler=wanted.scheduler, workers=min(count, MOST)) as several:
        yield several


@contextmanager
def _told(cases: int, *, quiet: bool) -> Iterator[Callable[[int], None] | None]:
    """Show a progress bar where somebody looks."""
    if not quiet and not sys.stderr.isatty():
        sys.stderr.write(f"Working out {cases} cases.\n")
        sys.stderr.flush()
    if quiet or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
    from rich.progress import TimeRemainingColumn as Remaining

    columns = (TextColumn("Working it out"), BarColumn(), MofNCompleteColumn(), Remaining())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=cases)
        yield lambda done: bar.update(task, completed=done)


def _writer(out: Path | None) -> Callable[[Sequence[Row]], None] | None:
    """Return what writes the table; refuse a file that cannot be, before any time is spent."""
    if out is None:
        return None
    from rushlight.cli.write import write_whole
    from rushlight.workshop.heat_sweeps import as_csv

    kind = out.suffix.casefold()
    if kind == ".csv":
        return lambda rows: write_whole(out, as_csv(rows).encode())
    if kind == ".parquet":
        from rushlight.workshop.sweep_table import as_parquet

        as_parquet([])  # whether it can be, before any time is spent
        return lambda rows: write_whole(out, as_parquet(rows))
    raise BadInput.one(
        "The table is written as CSV or Parquet.", 'Give a name that ends in ".csv".', str(out)
    )

"""How far long work is, where somebody looks: on stderr, and only on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Tell = Callable[[int, int, str], None]
"""Told how many parts are done, of how many, and what is being done."""


@contextmanager
def shown(what: str, *, quiet: bool) -> Iterator[Tell | None]:
    """Show a bar while the work lasts; it is gone afterwards."""
    if quiet or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
    from rich.progress import TimeRemainingColumn as Remaining

    columns = (
        *(TextColumn("{task.description}", markup=False), BarColumn()),
        *(MofNCompleteColumn(), TextColumn("rows"), Remaining()),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total, _: bar.update(task, completed=done, total=total)

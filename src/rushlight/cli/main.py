"""The `rushlight` command. Each command imports what it needs when it is run."""

from __future__ import annotations

import gc
import sys
from itertools import chain
from typing import Final

import typer

from rushlight.cli import (
    commands,
    exchange_commands,
    heat_commands,
    label_command,
    label_commands,
    pour_commands,
    stock_commands,
    stores_commands,
)
from rushlight.cli.bench import Bench

SINGLE: Final = {
    command.__name__: command
    for command in (
        *(*commands.ALL, *heat_commands.ALL, *label_commands.ALL, label_command.label),
        *(*stores_commands.ALL, *exchange_commands.ALL),
    )
}
GROUPS: Final = {"pour": pour_commands.app, "stock": stock_commands.app}


def made(word: str = "") -> typer.Typer:
    """Return the command line; with the one command that is called so alone, if there is one.

    To make all of them ready takes as long as the work of most of them.
    """
    bench = typer.Typer(
        name="rushlight",
        cls=Bench,
        help="What to weigh, when to pour and what to charge for scented container candles.",
        epilog="Every command has its own --help. Exit status: 0 done, 2 something typed cannot "
        "be used, 1 a fault of Rushlight's own.",
        add_completion=False,
        pretty_exceptions_enable=False,
        rich_markup_mode=None,  # plain help: the boxes cost a third of the start, words no more
    )
    bench.callback()(_nothing)  # a command that is alone still has its name
    known = word in chain(SINGLE, GROUPS)
    for name, command in SINGLE.items():
        if not known or name == word:
            bench.command()(command)
    for name, group in GROUPS.items():
        if not known or name == word:
            bench.add_typer(group, name=name)
    return bench


def _nothing() -> None:
    pass


app = made()

_OBJECTS = 50_000
"""New objects between two looks for garbage."""


def run() -> None:
    """Run the command line: the entry point of `rushlight`."""
    # Modules that are read in make many objects and no garbage; looking for it takes a fifth.
    gc.set_threshold(_OBJECTS)
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a sign gets an escape in its place, not an error.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    made(*sys.argv[1:2])()

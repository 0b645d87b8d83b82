"""How every command ends: exit 0, 2 or 1, and problems said in one shape."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NoReturn

from typer import Abort
from typer.core import TyperGroup
from typer.exceptions import TyperException

from rushlight.cli.say import say_problems
from rushlight.errors import BadInput, NotFound, Problem, Refused, RushlightError

DONE, OUR_FAULT, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130

SHOW_TRACE = "RUSHLIGHT_TRACEBACK"
"""Set this variable to 1 to see where in the program a fault of ours arose."""


_WHOLE = 1_000
"""Letters of what a command does that are shown in a list: all of them."""


class Listed(TyperGroup):
    """A group whose list says what each command does, whole."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write the list of the commands."""
        shown = ((name, self.get_command(ctx, name)) for name in self.list_commands(ctx))
        with formatter.section("Commands"):
            formatter.write_dl([(name, c.get_short_help_str(_WHOLE)) for name, c in shown if c])


class Bench(Listed):
    """The group of all commands; turns whatever happens into an exit status."""

    def main(self, args: Sequence[str] | None = None, *rest: Any, **options: Any) -> NoReturn:
        """Run a command and leave with its exit status."""
        given = list(sys.argv[1:] if args is None else args)
        options |= {"standalone_mode": False, "prog_name": "rushlight"}
        as_json = "--json" in given
        try:
            ended = super().main(given or ["--help"], *rest, **options)
        except BaseException as error:  # noqa: BLE001  the outermost frame: nothing may pass
            sys.exit(_told(error, given, self.commands, as_json=as_json))
        sys.exit(ended if isinstance(ended, int) else DONE)


def _told(
    error: BaseException, given: Sequence[str], commands: Mapping[str, Any], *, as_json: bool
) -> int:
    """Say what went wrong and return the exit status."""
    if isinstance(error, Abort | KeyboardInterrupt):
        return INTERRUPTED
    if isinstance(error, SystemExit):
        return error.code if isinstance(error.code, int) else OUR_FAULT
    if isinstance(error, BrokenPipeError):
        # Whoever read our output has gone; nothing is left to be told.
        sys.stdout = None  # else Python complains at exit
        return OUR_FAULT
    problems, status = _problems(error, given, commands)
    say_problems(problems, as_json=as_json)
    if status == OUR_FAULT and os.environ.get(SHOW_TRACE):
        raise error
    return status


def _problems(
    error: BaseException, given: Sequence[str], commands: Mapping[str, Any]
) -> tuple[Sequence[Problem], int]:
    """Return what to say of an error, and the exit status it leads to."""
    match error:
        case BadInput():
            return error.problems, BAD_INPUT
        case NotFound() | Refused():
            return [_as_problem(error)], BAD_INPUT
        case TyperException():
            usage = " ".join(("rushlight", *_named(given, commands), "--help"))
            what = error.format_message().rstrip(".") + "."
            return [Problem("", what, f"“{usage}” shows what can be typed.")], BAD_INPUT
        case RushlightError():
            return [_as_problem(error)], OUR_FAULT
        case _:
            what = f"Rushlight made a mistake ({type(error).__name__}: {error})."
            remedy = f"Please report it; {SHOW_TRACE}=1 shows where it arose."
            return [Problem("", what, remedy)], OUR_FAULT


def _named(given: Sequence[str], commands: Mapping[str, Any]) -> Iterator[str]:
    """Yield the command that was typed, and the one below it where it has some."""
    for word in given:
        if word not in commands:
            return
        yield word
        commands = getattr(commands[word], "commands", {})


def _as_problem(error: RushlightError) -> Problem:
    return Problem("", str(error), "")

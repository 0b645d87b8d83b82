"""Saying where a problem is in the words of the command line, not in those of a form."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date

from rushlight.errors import BadInput


@contextmanager
def placed(say: Callable[[str], str]) -> Iterator[None]:
    """Put every problem raised within at the option it came from."""
    try:
        yield
    except BadInput as bad:
        raise BadInput(*(replace(p, place=say(p.place)) for p in bad.problems)) from bad


def option(place: str) -> str:
    """Return a field of a form as the option of the same name: “freight_by” is --freight-by."""
    return f"--{place.replace('_', '-')}" if place else ""


def day_of(text: str | None, place: str, default: date) -> date:
    """Return a day that was typed at an option; BadInput at that option."""
    from rushlight.workshop.typed import day

    if text is None:
        return default
    try:
        return day(text)
    except BadInput as bad:
        raise bad.at(place) from bad

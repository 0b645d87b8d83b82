"""What a stocktake found different from the books, and which part of it comes next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from rushlight.web.adding import adding_up
from rushlight.workshop.materials import Measure
from rushlight.workshop.stores.views import CountLine, StocktakeView

_MOST = 200  # lots that are shown by name


@dataclass(frozen=True, slots=True)
class Differing:
    """Lots that differ, with what each is worth in whole coins; what is worth most comes first.

    worth: None where the cost of a lot is not known; rest: how many more there are, and what
    they are worth; total: what all of them come to, just as the column shows it.
    """

    lines: tuple[tuple[CountLine, Decimal | None], ...]
    rest: int
    rest_worth: Decimal
    total: Decimal


def differing(view: StocktakeView, step: Decimal) -> Differing:
    """Return what differs, of all shelves. step: the smallest coin."""
    found = [line for line in view.lines if line.difference is not None and line.difference.units]
    found.sort(key=lambda line: (-abs(line.worth or Decimal(0)), line.name, line.code))
    worths = iter(adding_up([line.worth for line in found if line.worth is not None], step))
    shown = [(line, None if line.worth is None else next(worths)) for line in found]
    rest = shown[_MOST:]
    return Differing(
        tuple(shown[:_MOST]),
        len(rest),
        sum((worth for _, worth in rest if worth is not None), Decimal(0)),
        sum((worth for _, worth in shown if worth is not None), Decimal(0)),
    )


def after(parts: Sequence[tuple[str, int, Sequence[CountLine]]], at: tuple[str, int]) -> int:
    """Return which part of the shelves to count next: parts are shelf, page and lines.

    It is the one she is at until all of it is counted, then the next with something left to
    count, and hers again when nothing is left.
    """
    here = next((n for n, (role, page, _) in enumerate(parts) if (role, page) == at), 0)
    order = [*range(here, len(parts)), *range(here)]
    left = (n for n in order if any(line.counted is None for line in parts[n][2]))
    return next(left, here)


def unit_of(line: CountLine, mass: str) -> str:
    """Return the unit that a bare number is counted in."""
    if line.measure is not Measure.PIECES:
        return mass
    return "jars" if line.role == "jars" else "pieces"

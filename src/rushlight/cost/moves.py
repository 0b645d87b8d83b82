"""What came in and what went out, as the ledger counts: whole units and whole 1/10 000 of money."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

from rushlight.errors import Problems


@dataclass(frozen=True, slots=True)
class Receipt:
    """What came in: units [mg or pieces], and what they cost together [1/10 000]."""

    units: int
    value: int


@dataclass(frozen=True, slots=True)
class Issue:
    """What went out: units [mg or pieces]. What they cost is for the cost formula to say."""

    units: int


Move: TypeAlias = Receipt | Issue


@dataclass(frozen=True, slots=True)
class Valued:
    """What the issues cost and what is left, money in 1/10 000.

    costs: of each issue, in the order of the issues; layers: what is left, the oldest first (an
    average leaves one layer at most). What came in is `issued` and `left` together, exactly.
    """

    costs: tuple[int, ...]
    layers: tuple[Receipt, ...]

    @property
    def issued(self) -> int:
        """Cost of everything that went out [1/10 000]."""
        return sum(self.costs)

    @property
    def left(self) -> int:
        """Value of what is left [1/10 000]."""
        return sum(layer.value for layer in self.layers)

    @property
    def on_hand(self) -> int:
        """Units that are left [mg or pieces]."""
        return sum(layer.units for layer in self.layers)


def checked(moves: Iterable[Move]) -> tuple[Move, ...]:
    """Return the moves, oldest first, none of which issues what was not there. Raises BadInput."""
    kept = tuple(moves)
    problems = Problems()
    _note_figures(kept, problems)
    problems.check()
    there = 0
    for place, move in enumerate(kept):
        if isinstance(move, Receipt):
            there += move.units
        elif move.units <= there:
            there -= move.units
        else:
            problems.add(
                f"moves.{place}",
                f"{move.units} units are issued where {there} are in hand.",
                "Put the moves in order of time, and enter what is missing as a receipt.",
            )
    problems.check()
    return kept


def _note_figures(moves: tuple[Move, ...], problems: Problems) -> None:
    """Note every move that is none: no units, or a receipt worth less than nothing."""
    for place, move in enumerate(moves):
        if move.units < 1:
            problems.add(
                f"moves.{place}.units", "A move has no units.", "Give a whole number from 1 up."
            )
        if isinstance(move, Receipt) and move.value < 0:
            problems.add(
                f"moves.{place}.value",
                "What came in is worth less than nothing.",
                "Give what it cost, zero or more.",
            )

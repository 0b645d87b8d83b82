"""A sheet of labels: where the cells are, and which are still free.

Lengths in millimetres from the upper left corner of the paper, cells counted along the
rows from 1.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from rushlight.errors import Problem, Problems
from rushlight.press.labels.design import Outline
from rushlight.press.paper import Paper

ROUNDING = 1e-6  # [mm]
_MOST_CELLS = 1000
_FARTHEST = 10.0  # a printer that is further out than this [mm] wants repair
RULER = (100.0, 4.0)
_EDGE = 3.0  # most printers leave this strip [mm] along the edge empty (common practice)


class Lie(StrEnum):
    """Which way round the paper lies."""

    UPRIGHT = "upright"
    ACROSS = "across"


class Kind(StrEnum):
    """What is printed: the labels, or a proof to hold against the stock."""

    LABELS = "labels"
    PROOF = "proof"


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the paper [mm]; turned: a ruler that runs upwards."""

    x: float
    y: float
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A grid of equal labels on a sheet.

    left, top: to the first label; pitch_x, pitch_y: from one label's edge to the same edge
    of the next. start: the first cell that still has its label. right, down: how far this
    printer must be corrected. kind: labels, or outlines alone.
    """

    outline: Outline
    columns: int
    rows: int
    left: float
    top: float
    pitch_x: float
    pitch_y: float
    start: int = 1
    right: float = 0.0
    down: float = 0.0
    kind: Kind = Kind.LABELS
    lie: Lie = Lie.UPRIGHT

    def size(self, paper: Paper) -> tuple[float, float]:
        """Width and height of the paper as it lies [mm]."""
        wide, high = paper.millimetres
        return (wide, high) if self.lie is Lie.UPRIGHT else (high, wide)

    @property
    def cells(self) -> tuple[Spot, ...]:
        """Upper left corners of all cells, row by row, before the printer's correction."""
        return tuple(
            Spot(self.left + column * self.pitch_x, self.top + row * self.pitch_y)
            for row in range(self.rows)
            for column in range(self.columns)
        )

    def used(self, labels: int) -> list[list[Spot]]:
        """Return the cells that a number of labels takes, page by page."""
        cells, pages = self.cells, []
        first = self.start - 1
        while labels > 0:
            page = list(cells[first : first + labels])
            pages.append(page)
            labels -= len(page)
            first = 0
        return pages

    def ruler(self, paper: Paper) -> Spot | None:
        """Return a strip for the 100 mm ruler clear of every cell, or None."""
        length, thick = RULER
        wide, high = self.size(paper)
        right = self.left + (self.columns - 1) * self.pitch_x + self.outline.width
        bottom = self.top + (self.rows - 1) * self.pitch_y + self.outline.height
        level = [
            Spot((wide - length) / 2, y)
            for y, free in ((high - _EDGE - thick, high - bottom), (_EDGE, self.top))
            if free >= _EDGE + thick
        ]
        upright = [
            Spot(x, (high - length) / 2, turned=True)
            for x, free in ((wide - _EDGE - thick, wide - right), (_EDGE, self.left))
            if free >= _EDGE + thick
        ]
        return next(iter([*level, *upright]), None)

    def problems(self, paper: Paper) -> list[Problem]:
        """Return what makes this sheet impossible on a paper."""
        found = Problems()
        self._counts(found)
        if not found.found:
            self._places(found, paper)
        for place, way in (("right", self.right), ("down", self.down)):
            if not abs(way) <= _FARTHEST:
                found.add(
                    place,
                    f"A correction of {way:g} mm is more than {_FARTHEST:g} mm.",
                    "Check that the printer keeps to 100 %, then measure again.",
                )
        return found.found

    def _counts(self, found: Problems) -> None:
        outline = self.outline
        for place, value in (("columns", self.columns), ("rows", self.rows)):
            if not 1 <= value <= _MOST_CELLS:
                found.add(place, f"{value} {place} is no sheet.", "Count them on the stock.")
        for place, size in (("width", outline.width), ("height", outline.height)):
            if not size > 0:
                found.add(place, "A label has a size.", "Measure one label.")
        if not found.found and not 1 <= self.start <= self.rows * self.columns:
            found.add(
                "start",
                f"Cell {self.start} is not on a sheet of {self.rows * self.columns}.",
                "Count along the rows from 1, the upper left.",
            )

    def _places(self, found: Problems, paper: Paper) -> None:
        wide, high = self.size(paper)
        axes = (
            ("left", "pitch_x", self.left, self.pitch_x, self.columns, self.outline.width, wide),
            ("top", "pitch_y", self.top, self.pitch_y, self.rows, self.outline.height, high),
        )
        for margin, pitch, first, step, several, size, end in axes:
            if several > 1 and not step >= size - ROUNDING:
                found.add(
                    pitch,
                    f"A pitch of {step:g} mm lays labels of {size:g} mm over each other.",
                    "Measure from the edge of one label to the same edge of the next.",
                )
            last = first + (several - 1) * step + size
            if not (first >= 0 and last <= end + ROUNDING):
                found.add(
                    margin,
                    f"The labels lie from {first:g} to {last:g} mm; {paper.value}"
                    f" {self.lie.value} ends at {end:g} mm.",
                    "Measure margin and pitch again, or choose another paper.",
                )

    def starting(self, cell: int) -> Sheet:
        """Return the same sheet, part used: its first free cell."""
        return replace(self, start=cell)


def next_start(sheet: Sheet, labels: int) -> int:
    """Return the first cell that is free after printing; 1 when the sheet is used up."""
    each = sheet.rows * sheet.columns
    return (sheet.start - 1 + labels) % each + 1

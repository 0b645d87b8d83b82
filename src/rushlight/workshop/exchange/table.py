"""A table as it came in: a heading and rows of texts, and nothing guessed."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from rushlight.errors import BadInput, Problem, Problems
from rushlight.workshop.exchange.limits import (
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_PROBLEMS,
    MOST_ROWS,
)

_KEPT = "\n\r\t"


@dataclass(frozen=True, slots=True)
class Row:
    """One row. number: as a spreadsheet counts, the heading mostly being row 1.

    exact: the columns (from 0) in which the file itself says it is a number, so that its
    decimal mark is not a question.
    """

    number: int
    cells: tuple[str, ...]
    exact: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table that was read whole: every row is as wide as the heading.

    media: "csv" or "xlsx", as the first bytes say. encoding, delimiter: of a CSV file, else "".
    sheet: the sheet that was read, of a workbook; others: the sheets that were passed over.
    """

    name: str
    header: tuple[str, ...]
    rows: tuple[Row, ...]
    media: str
    encoding: str = ""
    delimiter: str = ""
    sheet: str = ""
    others: tuple[str, ...] = field(default=())


def letter(column: int) -> str:
    """Return a column (from 0) as a spreadsheet names it: A, B, … Z, AA."""
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


class Checked:
    """Takes rows one by one, checks them against the limits and the heading, and keeps them.

    It stops at what would never end; everything else is collected and said at once.
    """

    def __init__(self, *, exact_width: bool) -> None:
        """Start; exact_width: a row of fewer fields than the heading is a problem."""
        self.problems = Problems()
        self.header: tuple[str, ...] = ()
        self.rows: list[Row] = []
        self._exact_width = exact_width
        self._head_width = 0

    def take(self, number: int, cells: Sequence[str], exact: frozenset[int] = frozenset()) -> None:
        """Take the next row; an empty one is passed over."""
        width = max((i + 1 for i, cell in enumerate(cells) if cell.strip()), default=0)
        if not width:
            return
        if width > MOST_COLUMNS:
            raise BadInput.one(
                f"Row {number} reaches to column {letter(width - 1)}.",
                f"Import at most {MOST_COLUMNS} columns, the others taken out.",
                f"row {number}",
            )
        self._check_cells(number, cells[:width])
        if not self.header:
            self._head(number, cells[:width])
            self._head_width = len(cells)
            return
        if len(self.rows) == MOST_ROWS:
            raise BadInput.one(
                f"There are more than {MOST_ROWS:,} rows.",
                "Import it in parts, each with the heading.",
                f"row {number}",
            )
        wide = len(self.header)
        if width > wide or (self._exact_width and len(cells) != self._head_width):
            fields, headings = (
                (len(cells), self._head_width) if self._exact_width else (width, wide)
            )
            self.problems.add(
                f"row {number}",
                f"It has {fields:,} fields, and the heading has {headings}.",
                "Look for a missing or extra quotation mark or separator in it.",
            )
        padded = (*cells[:wide], *[""] * (wide - len(cells)))
        self.rows.append(Row(number, padded, frozenset(i for i in exact if i < wide)))
        self.stop_at_many()

    def stop_at_many(self) -> None:
        """Raise what was found so far, once it is more than anyone reads."""
        if len(self.problems.found) >= MOST_PROBLEMS:
            more = Problem("", "There may be more.", "Put these right first.")
            raise BadInput(*self.problems.found[:MOST_PROBLEMS], more)

    def done(self) -> None:
        """Raise every problem found; a table without a heading or rows is one."""
        if not self.header and not self.problems.found:
            self.problems.add("", "The table is empty.", "Put a heading and a row under it.")
        elif not self.rows and not self.problems.found:
            self.problems.add(
                "", "There is a heading and no row under it.", "Put what is to come in under it."
            )
        self.problems.check()

    def _head(self, number: int, cells: Sequence[str]) -> None:
        self.header = tuple(" ".join(cell.split()) for cell in cells)
        seen: dict[str, int] = {}
        for i, heading in enumerate(self.header):
            place = f"row {number}, column {letter(i)}"
            if not heading:
                self.problems.add(place, "This column has no heading.", "Type what it holds.")
            first = seen.setdefault(heading.casefold(), i)
            if heading and first != i:
                self.problems.add(
                    place,
                    f"Columns {letter(first)} and {letter(i)} are both called “{heading[:40]}”.",
                    "Give each column a heading of its own.",
                )

    def _check_cells(self, number: int, cells: Iterable[str]) -> None:
        for i, cell in enumerate(cells):
            if len(cell) > LONGEST_CELL:
                what = f"This cell has {len(cell):,} characters."
                remedy = f"Use at most {LONGEST_CELL:,}, or look for a missing quotation mark."
            elif not cell.isprintable() and any(_unwanted(c) for c in cell):
                what = "This cell holds a character that no keyboard types."
                remedy = "Type it anew."
            else:
                continue
            self.problems.add(f"row {number}, column {letter(i)}", what, remedy)


def _unwanted(character: str) -> bool:
    """Whether a character is a control or half a character: no text of a table has them."""
    return character not in _KEPT and unicodedata.category(character) in {"Cc", "Cs"}

"""XLSX, values only: the zip is looked over first, then openpyxl reads one sheet.

Formulas are never worked out, macros refused, links to other files not followed.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from rushlight.errors import BadInput
from rushlight.workshop.exchange.limits import MOST_BLANK_ROWS, MOST_SHEET_CELLS
from rushlight.workshop.exchange.package import checked_package
from rushlight.workshop.exchange.table import Checked, Table, letter

if TYPE_CHECKING:
    from openpyxl import Workbook

_DIGITS: Final = 15
"""A spreadsheet keeps and shows 15 digits; more are the rounding of binary fractions."""


def read_xlsx(name: str, content: bytes, *, sheet: str | None = None) -> Table:
    """Return the table of one sheet; BadInput with every problem found."""
    package = checked_package(content)
    checked = Checked(exact_width=False)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of what is not read here: styles, pictures, rules
        book = _opened(package.content, values=True)
        try:
            chosen, others = _chosen(book, sheet)
            uncounted = _formulas(package.content, chosen) if package.formulas else frozenset()
            _read(book, chosen, checked, uncounted)
        finally:
            book.close()
    checked.done()
    return Table(
        name=name,
        header=checked.header,
        rows=tuple(checked.rows),
        media="xlsx",
        sheet=chosen,
        others=others,
    )


def _opened(content: bytes, *, values: bool) -> Workbook:
    from openpyxl import load_workbook

    try:
        return load_workbook(
            io.BytesIO(content), read_only=True, data_only=values, keep_links=False
        )
    except Exception as error:  # a made-up workbook may raise anything in there
        raise _damaged() from error


def _damaged() -> BadInput:
    return BadInput.one(
        "The workbook is damaged, or made in a way that is not read here.",
        "Open it, and save it anew as XLSX or as CSV UTF-8.",
        "file",
    )


def _chosen(book: Workbook, wanted: str | None) -> tuple[str, tuple[str, ...]]:
    sheets = [s for s in book.worksheets if s.sheet_state == "visible"]
    names = [s.title for s in sheets]
    if not names:
        raise BadInput.one("The workbook has no sheet that can be seen.", "Show one.", "file")
    if wanted is not None and wanted not in names:
        raise BadInput.one(
            f"There is no sheet “{wanted[:40]}”.", f"There are {', '.join(names)[:200]}.", "sheet"
        )
    chosen = wanted or names[0]
    return chosen, tuple(n for n in names if n != chosen)


def _rows(book: Workbook, sheet: str) -> Iterator[tuple[Any, ...]]:
    """Give the rows of a sheet as far as the limits let; what it says of its size is not heard."""
    page = book[sheet]
    page.reset_dimensions()  # it may claim a million rows, or fewer than there are
    blank = cells = 0
    rows = page.iter_rows()
    while True:
        try:
            row = next(rows)
        except StopIteration:
            return
        except Exception as error:  # as above
            raise _damaged() from error
        cells += len(row)
        if all(cell.value is None for cell in row):
            blank += 1
        if blank > MOST_BLANK_ROWS or cells > MOST_SHEET_CELLS:
            raise BadInput.one(
                f"The sheet “{sheet[:40]}” has a great many empty rows or columns.",
                "Copy the table alone to a new sheet, or save it as CSV UTF-8.",
                "file",
            )
        yield row


def _formulas(content: bytes, sheet: str) -> frozenset[tuple[int, int]]:
    """Return the places of the formulas of a sheet: row from 1, column from 0."""
    book = _opened(content, values=False)
    try:
        return frozenset(
            (number, i)
            for number, row in enumerate(_rows(book, sheet), 1)
            for i, cell in enumerate(row)
            if cell.value is not None and cell.data_type == "f"
        )
    finally:
        book.close()


def _read(
    book: Workbook, sheet: str, checked: Checked, formulas: frozenset[tuple[int, int]]
) -> None:
    for number, row in enumerate(_rows(book, sheet), 1):
        texts, exact = [], []
        for i, cell in enumerate(row):
            place = f"row {number}, column {letter(i)}"
            if cell.value is None and (number, i) in formulas:
                checked.problems.add(
                    place,
                    "This formula has no value kept with it.",
                    "Open the file in a spreadsheet and save it, or type the value.",
                )
            elif cell.value is not None and cell.data_type == "e":
                checked.problems.add(
                    place, f"This cell shows {str(cell.value)[:20]}.", "Type what it should be."
                )
            texts.append(_text(cell))
            if isinstance(cell.value, int | float):
                exact.append(i)
        checked.take(number, texts, frozenset(exact))
        checked.stop_at_many()


def _text(cell: Any) -> str:
    """Return a value as text: a day as ISO 8601, a number as the shortest decimal."""
    value = cell.value
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int() | float():
            return _number(value, percent="%" in str(cell.number_format))
        case datetime() if value.time() == time():
            return value.date().isoformat()
        case datetime() | date() | time():
            return value.isoformat()
        case _:
            return str(value)


def _number(value: float, *, percent: bool) -> str:
    exact = Decimal(f"{value:.{_DIGITS}g}")
    if not exact.is_finite():
        return str(value)
    if percent:
        exact *= 100
    text = f"{exact.normalize():f}"
    return f"{text} %" if percent else text

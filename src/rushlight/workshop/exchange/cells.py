"""The cells of a row, as its kind reads them: units of the heading added, days in ISO 8601."""

from __future__ import annotations

import re
from collections.abc import Mapping as Map
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from rushlight.errors import BadInput, Problem
from rushlight.quantity import parse, show
from rushlight.quantity.preference import Preference
from rushlight.quantity.reading import quoted
from rushlight.workshop.exchange.formulas import REMEDY, WHAT, looks_like_formula
from rushlight.workshop.exchange.kinds import Field, Sort, fields
from rushlight.workshop.exchange.mapping import DATES, PIECES, Mapping, unit_of
from rushlight.workshop.exchange.marks import mark_problems
from rushlight.workshop.exchange.table import Row, Table
from rushlight.workshop.material_views import Amount, Measure, amount_reader
from rushlight.workshop.typed import day

_BARE: Final = re.compile(r"[+\-−]?[0-9 .,/½⅓⅔¼¾\u00a0\u202f]*[0-9½⅓⅔¼¾]")
_PIECES: Final = re.compile(r"([0-9][0-9 .,]*?)\s*([A-Za-z]+)\.?")
_DATE: Final = re.compile(r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4})")
_MARKED: Final = frozenset({Sort.AMOUNT, Sort.MONEY, Sort.COUNT, Sort.FACT})
_MIDNIGHT: Final = "T00:00:00"


@dataclass(frozen=True, slots=True)
class RowProblem:
    """One thing wrong in one row.

    column: its heading, or what the field is called where no column is it; "" where it is about
    the whole row.
    """

    row: int
    column: str
    what: str
    remedy: str

    def as_problem(self) -> Problem:
        """Return it as a problem with its place in words: “row 7, price (GBP)”."""
        column = f", {self.column}" if self.column else ""
        return Problem(f"row {self.row}{column}", self.what, self.remedy)


@dataclass(frozen=True, slots=True)
class Line:
    """A row by field: texts as they are handed on. Fields with an empty cell are left out."""

    number: int
    texts: Map[str, str]


@dataclass(frozen=True, slots=True)
class Lines:
    """The rows of a table by field, and what is wrong with single cells."""

    fields: tuple[Field, ...]  # those that have a column, in order
    headings: Map[str, str]  # of every field: its heading, or its own label without one
    lines: tuple[Line, ...]
    problems: tuple[RowProblem, ...]

    def column(self, key: str) -> str:
        """Return the heading of a field; its own label where it has none, "" for no field."""
        return self.headings.get(key, "")


def lines_of(kind: str, table: Table, mapping: Mapping, pref: Preference) -> Lines:
    """Return the rows by field, with the problems that one cell or one column shows alone."""
    there = tuple(f for f in fields(kind) if f.key in mapping.columns)
    headings = {f.key: table.header[mapping.columns[f.key]] for f in there}
    units = {key: unit_of(heading) for key, heading in headings.items()}
    problems: list[RowProblem] = []
    for field in there:
        if field.sort in _MARKED:
            column = mapping.columns[field.key]
            cells = [(r.number, r.cells[column]) for r in table.rows if column not in r.exact]
            problems += [
                RowProblem(number, headings[field.key], what, remedy)
                for number, (what, remedy) in mark_problems(cells, pref.decimal).items()
            ]
    lines = []
    for row in table.rows:
        texts = _texts(row, there, mapping, units)
        lines.append(Line(row.number, texts))
        for field in there:
            text = texts.get(field.key, "")
            heading = headings[field.key]
            if field.needed and not text:
                what = f"“{field.label}” is missing."
                problems.append(RowProblem(row.number, heading, what, "Fill it in."))
            elif field.sort in {Sort.TEXT, Sort.NOTE} and looks_like_formula(text):
                problems.append(RowProblem(row.number, heading, WHAT, REMEDY))
    headings = {f.key: headings.get(f.key, f.label) for f in fields(kind)}
    return Lines(there, headings, tuple(lines), tuple(problems))


def _texts(
    row: Row, there: Sequence[Field], mapping: Mapping, units: Map[str, str]
) -> dict[str, str]:
    raw = {f.key: row.cells[mapping.columns[f.key]].strip() for f in there}
    own = raw.get("unit", "")
    found = {}
    for field in there:
        text, unit = raw[field.key], units[field.key]
        if not text:
            continue
        match field.sort:
            case Sort.DAY:
                text = _iso(text, mapping.dates)
            case Sort.AMOUNT:
                text = _with_unit(_counted(text), unit or own)
            case Sort.MONEY | Sort.FACT:
                text = _with_unit(text, unit)
            case Sort.COUNT:
                text = _counted(text)
            case Sort.TEXT:
                text = " ".join(text.split())
            case Sort.NOTE:
                pass
        found[field.key] = text
    return found


def _with_unit(text: str, unit: str) -> str:
    """Return a bare number with the unit its heading (or its row) names."""
    if not unit or unit.casefold() in PIECES or _BARE.fullmatch(text) is None:
        return text
    return f"{text} {unit}"


def _counted(text: str) -> str:
    """Return “24 pcs” as “24”."""
    match = _PIECES.fullmatch(text)
    return match[1] if match is not None and match[2].casefold() in PIECES else text


def _iso(text: str, dates: str) -> str:
    """Return a day as 2026-05-17 where it is written the way she said; else as it is."""
    text = text.removesuffix(_MIDNIGHT)
    match = _DATE.fullmatch(text)
    if match is None or dates == "ymd":
        return text
    first, second = int(match[1]), int(match[2])
    month, of_month = (second, first) if dates == "dmy" else (first, second)
    try:
        return date(int(match[3]), month, of_month).isoformat()
    except ValueError:
        return text


def read_cell(field: Field, text: str, pref: Preference, measure: Measure | None) -> str:
    """Return a cell as it was understood, to be shown; BadInput where it was not.

    measure: of the material; None where it is not known, and then either will do.
    """
    match field.sort:
        case Sort.AMOUNT:
            return _shown(_amount(text, measure), pref)
        case Sort.MONEY:
            return _money(text, pref)
        case Sort.COUNT:
            return str(parse.count(text))
        case Sort.DAY:
            return _day(text)
        case _:
            return text


def _amount(text: str, measure: Measure | None) -> Amount:
    if measure is not None:
        return amount_reader(measure)(text)
    try:
        return amount_reader(Measure.MASS)(text)
    except BadInput:
        return amount_reader(Measure.PIECES)(text)


def _shown(amount: Amount, pref: Preference) -> str:
    return str(amount.pieces) if amount.measure is Measure.PIECES else show.mass(amount.mass, pref)


def _money(text: str, pref: Preference) -> str:
    amount = parse.money(text, currency=pref.currency)
    fine = amount != round(amount, 2)  # shown to the last digit she typed
    return show.money(amount, pref, places=4 if fine else None)


def _day(text: str) -> str:
    try:
        return day(text).isoformat()
    except BadInput:
        if _DATE.fullmatch(text) is None:
            raise
    ways = ", ".join(DATES.values())
    raise BadInput.one(
        f"{quoted(text)} can be read in two ways.",
        f"Say how dates are written ({ways}), or save the table as XLSX.",
    )

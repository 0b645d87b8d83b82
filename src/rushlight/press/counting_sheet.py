"""The counting sheet of a stocktake: what to count, and a place to write how much there is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.printed import on_paper

TEMPLATE = "counting_sheet.typ"
BLIND_SAYS = "Counted blind: the sheet leaves out on purpose what the ledger expects."
OPEN_SAYS = "Write what you find, also where it is what the ledger expects."


class Sight(StrEnum):
    """Whether the sheet shows what the ledger expects."""

    BLIND = "blind"
    OPEN = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCount:
    """One lot to count.

    code: of the lot; name: the material or candle; detail: what tells it apart on the shelf
    (the supplier's lot, the date). unit: in which it is counted ("g", "jars"), printed beside
    the line to write on. expected: as text; never printed on a blind sheet.
    """

    code: str
    name: str
    unit: str
    detail: str = ""
    expected: str = ""


@dataclass(frozen=True, slots=True)
class Shelf:
    """Things counted together, under a head ("Waxes")."""

    head: str
    rows: tuple[ToCount, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CountingSheet:
    """All that is printed on the sheet; created also dates the PDF, meta says whose count."""

    title: str
    created: dt.date
    sight: Sight
    shelves: tuple[Shelf, ...]
    meta: tuple[Fact, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Shelf:
    head: str
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sheet:
    meta: tuple[Fact, ...]
    says: str
    note: str
    expects: bool
    shelves: tuple[_Shelf, ...]


def render(sheet: CountingSheet, *, paper: Paper) -> bytes:
    """Return the sheet as a PDF; the same data give the same bytes.

    What the ledger expects does not reach a blind sheet at all, not even unseen.

    Raises PressError when the page cannot be set cleanly.
    """
    expects = sheet.sight is Sight.OPEN
    printed = _Sheet(
        meta=sheet.meta,
        says=OPEN_SAYS if expects else BLIND_SAYS,
        note=sheet.note,
        expects=expects,
        shelves=tuple(
            _Shelf(
                shelf.head,
                tuple(
                    (r.code, r.name, r.detail, r.unit, r.expected if expects else "")
                    for r in shelf.rows
                ),
            )
            for shelf in sheet.shelves
        ),
    )
    return on_paper(TEMPLATE, printed, title=sheet.title, created=sheet.created, paper=paper)

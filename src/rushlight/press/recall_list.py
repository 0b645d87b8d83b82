"""The recall list: which jars are touched, and where each of them is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.printed import WORKING_AID, on_paper

TEMPLATE = "recall_list.typ"
UNKNOWN = "not written down"
_TOGETHER = 20  # rows that stay on one page, under the name of their buyer
_WIDEST = 16  # letters that a column makes room for; a longer text pushes the others on
WHAT_TO_DO = (
    "Set apart what is still here, and mark it, so that none of it leaves while you find out"
    " more. Whether the buyers are told, whether jars are taken back, and which authority hears"
    " of it, is for local law, the supplier's notice and your own judgement to decide."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StillHere:
    """Jars of a lot in hand, or held for an order; place: a remark ("curing", "held for S31-8")."""

    lot: str
    candle: str
    poured: str
    jars: int
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """Jars of a lot that were sold: to whom, on which order, when; contact: how to reach them."""

    buyer: str
    order: str
    day: str
    lot: str
    candle: str
    jars: int
    contact: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSold:
    """Jars of a lot that were given away, broken or used for testing; fate says which."""

    lot: str
    candle: str
    day: str
    jars: int
    fate: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedInto:
    """A line of an order packed in a lot of packaging: to whom it went, and in which pieces.

    lot: of the packaging; jar_lots: those the jars of the line are of.
    """

    buyer: str
    order: str
    day: str
    lot: str
    candle: str
    jar_lots: str
    pieces: int
    contact: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecallList:
    """All that is printed on the list.

    what: the lot it is about ("M1050-8, Tar and samphire"); created: date of the list, which
    also dates the PDF; meta: what identifies the lot (supplier, their code, received, why).
    material: what is left of the lot itself, as text, empty for a jar lot. Days are text.
    """

    what: str
    created: dt.date
    meta: tuple[Fact, ...] = ()
    material: str = ""
    here: tuple[StillHere, ...] = ()
    gone: tuple[Gone, ...] = ()
    packed: tuple[PackedInto, ...] = ()
    not_sold: tuple[NotSold, ...] = ()
    what_to_do: str = WHAT_TO_DO


_Row = tuple[str, str, str, str, str]
"""A row as it is printed: jar lot, order, candle, what else there is to say, jars."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Rows under one box to tick, and under the name of a buyer where they have one."""

    rows: tuple[_Row, ...]
    name: str = ""
    contact: str = ""
    jars: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """A part of the list: the heads of its columns, and how many letters wide they are."""

    heads: tuple[str, str, str, str, str]
    groups: tuple[_Group, ...]
    wide: dict[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class _List:
    meta: tuple[Fact, ...]
    headline: tuple[Fact, ...]
    material: str
    what_to_do: str
    here: _Part
    gone: _Part
    packed: _Part
    jars: bool
    not_sold: _Part


def render(recall: RecallList, *, paper: Paper) -> bytes:
    """Return the list as a PDF; the same data give the same bytes.

    Raises PressError when the page cannot be set cleanly.
    """
    printed = _List(
        meta=recall.meta,
        headline=tuple(Fact(name, f"{count:,}") for name, count in _headline(recall)),
        # no jar is made of packaging: then only who has it is told
        jars=not recall.packed or bool(recall.here or recall.gone or recall.not_sold),
        packed=_part(
            ("Lot", "Order", "Candle and jar lots", "Date", "Pieces"),
            _buyers(recall.packed, "pieces"),
        ),
        material=recall.material,
        what_to_do=recall.what_to_do,
        here=_part(
            ("Jar lot", "", "Candle", "Where, and when poured", "Jars"),
            (_Group(rows=(_row(r, "", r.place, f"poured {r.poured}"),)) for r in recall.here),
        ),
        gone=_part(
            ("Buyer, jar lot", "Order", "Candle", "Date", "Jars"), _buyers(recall.gone, "jars")
        ),
        not_sold=_part(
            ("Jar lot", "", "Candle", "What became of them", "Jars"),
            (
                _Group(
                    rows=tuple(_row(r, "", r.fate, r.day) for r in recall.not_sold[at:][:_TOGETHER])
                )
                for at in range(0, len(recall.not_sold), _TOGETHER)
            ),
        ),
    )
    return on_paper(
        TEMPLATE, printed, title=recall.what, created=recall.created, paper=paper, aid=WORKING_AID
    )


def _row(of: StillHere | Gone | NotSold | PackedInto, order: str, *rest: str) -> _Row:
    candle, count = of.candle, _count(of)
    if isinstance(of, PackedInto):
        candle = f"{candle} {of.jar_lots}".rstrip()
    return (of.lot, order, candle, ", ".join(text for text in rest if text), f"{count:,}")


def _count(of: StillHere | Gone | NotSold | PackedInto) -> int:
    return of.pieces if isinstance(of, PackedInto) else of.jars


def _buyers(gone: Iterable[Gone | PackedInto], counted: str) -> Iterator[_Group]:
    """Give a group for each buyer; a long one in several, so that each page says whose it is."""
    for (buyer, contact), sales in groupby(gone, key=lambda sale: (sale.buyer, sale.contact)):
        theirs = tuple(sales)
        name, all_of_it = buyer or UNKNOWN, f"{sum(map(_count, theirs)):,} {counted}"
        for first in range(0, len(theirs), _TOGETHER):
            part = theirs[first : first + _TOGETHER]
            yield _Group(
                rows=tuple(_row(sale, sale.order, sale.day) for sale in part),
                name=f"{name}, continued" if first else name,
                contact=contact,
                jars=all_of_it if len(theirs) > 1 and not first else "",
            )


def _part(heads: tuple[str, str, str, str, str], groups: Iterable[_Group]) -> _Part:
    made = tuple(groups)
    rows = [row for group in made for row in group.rows]
    columns = {"lot": 0, "order": 1, "jars": 4}
    wide = {
        name: min(max((len(row[at]) for row in rows), default=0), _WIDEST)
        for name, at in columns.items()
    }
    return _Part(heads=heads, groups=made, wide=wide)


def _headline(recall: RecallList) -> list[tuple[str, int]]:
    """Return the figures at the head of the list."""
    parts = (recall.here, recall.gone, recall.not_sold)
    counts = [sum(row.jars for row in rows) for rows in parts]
    names = ("Jars touched", "Still here", "Sold", "Given, broken, tested")
    found = list(zip(names, (sum(counts), *counts), strict=True))
    if not recall.packed:
        return found
    pieces = sum(row.pieces for row in recall.packed)
    orders = len({row.order for row in recall.packed})
    return [*(found if sum(counts) else ()), ("Orders packed in it", orders), ("Pieces", pieces)]

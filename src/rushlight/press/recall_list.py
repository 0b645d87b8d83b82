"""The recall list: which jars are touched, and where each of them is."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.printed import WORKING_AID, on_paper

TEMPLATE = "recall_list.typ"
UNKNOWN = "not written down"
WHAT_TO_DO = (
    "Set apart what is still here, and mark it, so that none of it leaves while you find out"
    " more. Whether the buyers are told, whether jars are taken back, and which authority hears"
    " of it, is for local law, the supplier's notice and your own judgement to decide."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StillHere:
    """Jars of a lot in hand, or held for an order; place: a remark ("curing", "held for S31-5")."""

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

    what: the lot it is about ("M1050-3, Tar and samphire"); created: date of the list, which
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _List:
    meta: tuple[Fact, ...]
    headline: tuple[Fact, ...]
    material: str
    what_to_do: str
    here: tuple[tuple[str, ...], ...]
    gone: tuple[tuple[str, ...], ...]
    packed: tuple[tuple[str, ...], ...]
    jars: bool
    not_sold: tuple[tuple[str, ...], ...]


def render(recall: RecallList, *, paper: Paper) -> bytes:
    """Return the list as a PDF; the same data give the same bytes.

    Raises PressError when the page cannot be set cleanly.
    """
    printed = _List(
        meta=recall.meta,
        headline=tuple(Fact(name, f"{count:,}") for name, count in _headline(recall)),
        # no jar is made of packaging: then only who has it is told
        jars=not recall.packed or bool(recall.here or recall.gone or recall.not_sold),
        packed=tuple(
            (
                *(r.buyer or UNKNOWN, r.contact, r.order, r.day, r.lot),
                *(r.candle, r.jar_lots, f"{r.pieces:,}"),
            )
            for r in recall.packed
        ),
        material=recall.material,
        what_to_do=recall.what_to_do,
        here=tuple((r.lot, r.candle, r.poured, r.place, f"{r.jars:,}") for r in recall.here),
        gone=tuple(
            (r.buyer or UNKNOWN, r.contact, r.order, r.day, r.lot, r.candle, f"{r.jars:,}")
            for r in recall.gone
        ),
        not_sold=tuple((r.lot, r.candle, r.day, r.fate, f"{r.jars:,}") for r in recall.not_sold),
    )
    return on_paper(
        TEMPLATE, printed, title=recall.what, created=recall.created, paper=paper, aid=WORKING_AID
    )


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

"""The packing slip: what goes into the box, from which jar lots, to whom."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.printed import on_paper

TEMPLATE = "packing_slip.typ"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """Jars of one lot in an order; said: what is worth telling of the lot ("poured 18 May")."""

    lot: str
    jars: int
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedLine:
    """One line of the order, ready to print.

    contains: what each jar holds, for whoever unpacks it. price, sum: of a jar and of the
    line, as text; empty on a slip without prices. Lots may hold fewer jars than ordered: the
    slip then says how many are still to be picked.
    """

    candle: str
    jars: int
    lots: tuple[Picked, ...]
    contains: str = ""
    price: str = ""
    sum: str = ""

    @property
    def short(self) -> int:
        """How many jars are still to be picked."""
        return max(self.jars - sum(picked.jars for picked in self.lots), 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackingSlip:
    """All that is printed on a slip, in reading order.

    order: its code; created: date of the slip, which also dates the PDF; buyer, address: to
    whom, address by lines; house: who sends it; meta: what identifies the order (placed,
    due, channel). total: of all lines, as text; prices are printed where it is given.
    """

    order: str
    created: dt.date
    buyer: str
    lines: tuple[PackedLine, ...]
    house: str = ""
    address: tuple[str, ...] = ()
    meta: tuple[Fact, ...] = ()
    note: str = ""
    total: str = ""


def render(slip: PackingSlip, *, paper: Paper) -> bytes:
    """Return the slip as a PDF; the same data give the same bytes.

    Raises PressError when the page cannot be set cleanly.
    """
    printed = _Slip(
        buyer=slip.buyer or "Sold over the counter",
        house=slip.house,
        address=slip.address,
        meta=slip.meta,
        note=slip.note,
        total=slip.total,
        jars=f"{sum(line.jars for line in slip.lines):,}",
        lines=tuple(_line(line, priced=bool(slip.total)) for line in slip.lines),
    )
    title = f"Order {slip.order}"
    return on_paper(TEMPLATE, printed, title=title, created=slip.created, paper=paper)


@dataclass(frozen=True, slots=True)
class _Line:
    candle: str
    contains: str
    jars: str
    lots: tuple[Fact, ...]
    short: str
    price: str
    sum: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Slip:
    buyer: str
    house: str
    address: tuple[str, ...]
    meta: tuple[Fact, ...]
    note: str
    total: str
    jars: str
    lines: tuple[_Line, ...]


def _line(line: PackedLine, *, priced: bool) -> _Line:
    """Return a line as text; its prices only where the slip has them."""
    return _Line(
        line.candle,
        line.contains,
        f"{line.jars:,}",
        tuple(Fact(f"{p.jars:,} × {p.lot}", p.said) for p in line.lots),
        f"{line.short:,} still to be picked" if line.short else "",
        line.price if priced else "",
        line.sum if priced else "",
    )

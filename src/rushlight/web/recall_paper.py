"""The recall list, for paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.recall_list import Gone, NotSold, PackedInto, RecallList, StillHere, render
from rushlight.web.recalled import NOT_SOLD, held_for, loose, sent
from rushlight.web.say import Say
from rushlight.workshop import Workshop, settings
from rushlight.workshop.material_views import Amount
from rushlight.workshop.stores.trace import Recall, TracedJars


def recall_pdf(shop: Workshop, recall: Recall, size: str = "") -> bytes:
    """Return the PDF; the size asked for, or that of the settings."""
    now = settings.current(shop)
    paper = Paper(size) if size in set(Paper) else Paper(now.paper)
    return render(_list(shop, recall, Say(now)), paper=paper)


def _list(shop: Workshop, recall: Recall, say: Say) -> RecallList:
    poured = {lot.code: _day(lot.poured_on) for lot in recall.jars}
    gone = [
        Gone(
            buyer=sale.buyer,
            contact=sale.contact,
            order=sale.order,
            day="" if sale.sent_on is None else _day(sale.sent_on),
            lot=sale.lot,
            candle=sale.name,
            jars=sale.jars,
        )
        for sale in sent(recall)
    ]
    gone += [
        Gone(buyer="", order="", day="", lot=lot.code, candle=lot.name, jars=count)
        for lot, count in loose(recall)
    ]
    held = (
        StillHere(
            lot=sale.lot,
            candle=sale.name,
            poured=poured[sale.lot],
            jars=sale.jars,
            place=f"held for {sale.order}",
        )
        for sale in held_for(recall)
    )
    return RecallList(
        what=_what(recall),
        created=shop.today(),
        meta=_meta(recall),
        material=_material(recall, say),
        here=(*_here(shop, recall), *held),
        gone=tuple(gone),
        packed=tuple(
            PackedInto(
                buyer=one.buyer,
                contact=one.contact,
                order=one.order,
                day="" if one.sent_on is None else _day(one.sent_on),
                lot=one.lot,
                candle=one.name,
                jar_lots=" ".join(one.jar_lots),
                pieces=one.pieces.units,
            )
            for one in recall.packed
        ),
        not_sold=tuple(_not_sold(recall)),
    )


def _day(value: date) -> str:
    """Return a date without its weekday, for a narrow column."""
    return f"{value.day} {value:%b %Y}"


def _what(recall: Recall) -> str:
    of = recall.lots if recall.kind == "stock_lot" else recall.jars
    name = next((lot.name for lot in of if lot.code == recall.code), "")
    return f"{recall.code}, {name}" if name else recall.code


def _meta(recall: Recall) -> tuple[Fact, ...]:
    """Return what identifies the lot: of a material who delivered it, of jars when they were."""
    for lot in recall.lots if recall.kind == "stock_lot" else ():
        if lot.code == recall.code:
            others = " ".join(other.code for other in recall.lots if other.code != lot.code)
            facts = (
                ("Supplier", lot.supplier),
                ("Their lot", lot.supplier_lot),
                ("Received", _day(lot.received_on)),
                ("Of the same batch", others),
            )
            return tuple(Fact(name, value) for name, value in facts if value)
    return tuple(
        Fact(name, value)
        for lot in recall.jars
        if lot.code == recall.code
        for name, value in (("Poured", _day(lot.poured_on)), ("Pour", str(lot.pour)))
    )


def _material(recall: Recall, say: Say) -> str:
    """Return what is left of the lots of a material; empty for a lot of jars."""
    if recall.kind != "stock_lot" or not recall.lots:
        return ""
    left = sum(lot.left.units for lot in recall.lots)
    return say.amount(Amount(left, recall.lots[0].left.measure))


def _here(shop: Workshop, recall: Recall) -> Iterator[StillHere]:
    for lot in recall.jars:
        if lot.in_hand:
            curing = lot.ready_on > shop.today()
            yield StillHere(
                lot=lot.code,
                candle=lot.name,
                poured=_day(lot.poured_on),
                jars=lot.in_hand,
                place="curing" if curing else "on the shelf",
            )


def _not_sold(recall: Recall) -> Iterator[NotSold]:
    for lot in recall.jars:
        for name, fate in NOT_SOLD.items():
            count = _count(lot, name)
            if count:
                day = f"poured {_day(lot.poured_on)}"
                yield NotSold(lot=lot.code, candle=lot.name, day=day, jars=count, fate=fate)


def _count(lot: TracedJars, name: str) -> int:
    """Return jars of a lot; those that came back count below zero, for they are here again."""
    count: int = getattr(lot, name)
    return -count if name == "came_back" else count

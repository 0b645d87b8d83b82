"""From a recall to the words and figures of its list."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.recall_list import Gone, NotSold, PackedInto, RecallList, StillHere, render
from rushlight.quantity import show
from rushlight.quantity.show import Preference
from rushlight.workshop import Workshop, settings
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores.recall_parts import NOT_SOLD, held_for, loose, sent
from rushlight.workshop.stores.saying import said
from rushlight.workshop.stores.trace import Recall, TracedJars


def recall_pdf(shop: Workshop, recall: Recall, size: str = "") -> bytes:
    """Return the list as a PDF; on the size asked for, or that of the settings."""
    now = settings.current(shop)
    paper = Paper(size) if size in set(Paper) else Paper(now.paper)
    return render(from_recall(recall, now.preference, today=shop.today()), paper=paper)


def from_recall(recall: Recall, preference: Preference, *, today: date) -> RecallList:
    """Return what to print of a recall; today dates the list."""
    return RecallList(
        what=_what(recall),
        created=today,
        meta=_meta(recall),
        material=_material(recall, preference),
        here=(*_here(recall, today), *_held(recall)),
        gone=tuple(_gone(recall)),
        packed=tuple(_packed(recall)),
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


def _material(recall: Recall, pref: Preference) -> str:
    """Return what is left of the lots of a material; empty for a lot of jars."""
    if recall.kind != "stock_lot" or not recall.lots:
        return ""
    measure = recall.lots[0].left.measure
    left = Amount(sum(lot.left.units for lot in recall.lots), measure)
    if measure is Measure.PIECES:
        return show.number(Decimal(left.units), pref)
    return said(left, pref) if left.units else show.mass(left.mass, pref)


def _here(recall: Recall, today: date) -> Iterator[StillHere]:
    for lot in recall.jars:
        if lot.in_hand:
            yield StillHere(
                lot=lot.code,
                candle=lot.name,
                poured=_day(lot.poured_on),
                jars=lot.in_hand,
                place="curing" if lot.ready_on > today else "on the shelf",
            )


def _held(recall: Recall) -> Iterator[StillHere]:
    poured = {lot.code: _day(lot.poured_on) for lot in recall.jars}
    for sale in held_for(recall):
        yield StillHere(
            lot=sale.lot,
            candle=sale.name,
            poured=poured[sale.lot],
            jars=sale.jars,
            place=f"held for {sale.order}",
        )


def _gone(recall: Recall) -> Iterator[Gone]:
    """Give what was sold: by buyer, then what nobody is known to have."""
    for sale in sent(recall):
        yield Gone(
            buyer=sale.buyer,
            contact=sale.contact,
            order=sale.order,
            day="" if sale.sent_on is None else _day(sale.sent_on),
            lot=sale.lot,
            candle=sale.name,
            jars=sale.jars,
        )
    for lot, count in loose(recall):
        yield Gone(buyer="", order="", day="", lot=lot.code, candle=lot.name, jars=count)


def _packed(recall: Recall) -> Iterator[PackedInto]:
    for one in recall.packed:
        yield PackedInto(
            buyer=one.buyer,
            contact=one.contact,
            order=one.order,
            day="" if one.sent_on is None else _day(one.sent_on),
            lot=one.lot,
            candle=one.name,
            jar_lots=" ".join(one.jar_lots),
            pieces=one.pieces.units,
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

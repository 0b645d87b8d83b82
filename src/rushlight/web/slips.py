"""The packing slip of an order, for paper."""

from __future__ import annotations

from rushlight.press.packing_slip import PackedLine, PackingSlip, Picked, render
from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.web.say import Say
from rushlight.workshop import Workshop, settings
from rushlight.workshop.stores.views import OrderItem, OrderView


def packing_slip_pdf(shop: Workshop, view: OrderView, size: str = "") -> bytes:
    """Return the PDF, without prices; the size asked for, or that of the settings."""
    now = settings.current(shop)
    paper = Paper(size) if size in set(Paper) else Paper(now.paper)
    return render(_slip(shop, view, Say(now)), paper=paper)


def _slip(shop: Workshop, view: OrderView, say: Say) -> PackingSlip:
    order = view.line
    meta = [Fact("Order", order.code), Fact("Placed", say.day(order.placed_on))]
    if order.due_on is not None:
        meta.append(Fact("Due", say.day(order.due_on)))
    return PackingSlip(
        order=order.code,
        created=shop.today() if view.sent_at is None else view.sent_at.date(),
        buyer=order.buyer,
        house=say.settings.name,
        address=tuple(line for line in (view.contact,) if line),
        meta=(*meta, Fact("Channel", order.channel)),
        lines=tuple(_line(item) for item in view.items),
        note=view.note,
    )


def _line(item: OrderItem) -> PackedLine:
    lots = tuple(Picked(lot=picked.lot, jars=picked.jars) for picked in item.picked)
    return PackedLine(candle=item.name, jars=item.jars, lots=lots)

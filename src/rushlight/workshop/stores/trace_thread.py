"""What was gathered, as a thread to draw: nodes from left to right, and what links them."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

from rushlight.workshop.material_views import Amount
from rushlight.workshop.stores.gathered import Gathered
from rushlight.workshop.stores.saying import said
from rushlight.workshop.stores.thread_views import (
    COLUMN,
    Kind,
    Thread,
    ThreadLink,
    ThreadNode,
)
from rushlight.workshop.stores.trace_root import Root
from rushlight.workshop.stores.trace_views import (
    TracedJars,
    TracedLot,
    TracedPacking,
    TracedPour,
    TracedSale,
)

if TYPE_CHECKING:
    from datetime import date

    from rushlight.quantity.preference import Preference

_LOST: Final = {
    "given": "Given away",
    "testing": "Used for testing",
    "broken": "Broken",
    "missing": "Missing when counted",
}
_NOBODY: Final = "buyer:none"


def thread_of(root: Root, given: Gathered, *, shown: Preference, today: date) -> Thread:
    """Return the thread of what was gathered from a root."""
    nodes: dict[str, ThreadNode] = {}
    links: dict[tuple[str, str], str] = {}
    for lot in given.lots:
        node = _add(nodes, _lot(lot, shown))
        if lot.supplier:
            number = given.suppliers.get(lot.code, 0)
            whom = _node("supplier", f"supplier:{number}", lot.supplier)
            links[_add(nodes, whom), node] = said(lot.came, shown)
    for pour in given.pours:
        _add(nodes, _pour(pour))
    for use in given.uses:
        links[f"stock_lot:{use.lot}", f"pour:{use.pour}"] = said(use.amount, shown)
    for jars in given.jars:
        node = _add(nodes, _jars(jars, today))
        links[f"pour:{jars.pour}", node] = _count(jars.made)
        for fate, title in _LOST.items():
            lost = getattr(jars, fate)
            if lost > 0:
                links[node, _add(nodes, _node("loss", f"loss:{fate}", title))] = _count(lost)
    _sold(nodes, links, given)
    _packed(nodes, links, given, shown)
    key = f"{root.kind}:{root.code}"
    if key not in nodes:  # an order of which nothing is picked
        _add(nodes, _node(root.kind, key, root.code, code=root.code, mark="nothing is picked yet"))
    return Thread(
        root=key,
        nodes=tuple(nodes.values()),
        links=tuple(ThreadLink(*ends, label) for ends, label in links.items()),
    )


def _sold(nodes: dict[str, ThreadNode], links: dict[tuple[str, str], str], given: Gathered) -> None:
    """Add the orders with what they have of each lot, and their buyers, known or not."""
    taken: Counter[tuple[str, str]] = Counter()
    bought: Counter[tuple[str, str]] = Counter()
    for sale in given.sales:
        order, number = f"order:{sale.order}", given.buyers.get(sale.order)
        who = _NOBODY if number is None else f"buyer:{number}"
        # most come up again and again: those are not made anew
        if order not in nodes:
            nodes[order] = _order(sale)
        if who not in nodes:
            nodes[who] = _buyer(who, sale)
        taken[f"jar_lot:{sale.lot}", order] += sale.jars
        bought[order, who] += sale.jars
    for counted in (taken, bought):
        links |= {ends: _count(jars) for ends, jars in counted.items()}


def _packed(
    nodes: dict[str, ThreadNode],
    links: dict[tuple[str, str], str],
    given: Gathered,
    shown: Preference,
) -> None:
    """Add what orders were packed in, and the orders and buyers that no jar led to."""
    pieces: dict[tuple[str, str], Amount] = {}
    jars: dict[tuple[str, str], dict[int, int]] = {}
    for one in given.packed:
        order, number = f"order:{one.order}", given.buyers.get(one.order)
        who = _NOBODY if number is None else f"buyer:{number}"
        _add(nodes, _order(one))
        _add(nodes, _buyer(who, one))
        ends = f"stock_lot:{one.lot}", order
        before = pieces[ends].units if ends in pieces else 0
        pieces[ends] = Amount(before + one.pieces.units, one.pieces.measure)
        jars.setdefault((order, who), {})[one.line] = one.jars
    links |= {ends: said(amount, shown) for ends, amount in pieces.items()}
    for ends, by_line in jars.items():
        links.setdefault(ends, _count(sum(by_line.values())))


def _add(nodes: dict[str, ThreadNode], node: ThreadNode) -> str:
    nodes.setdefault(node.key, node)
    return node.key


def _node(  # noqa: PLR0913 - as many as a node has words
    kind: Kind,
    key: str,
    title: str,
    *,
    lines: tuple[str, ...] = (),
    code: str = "",
    mark: str = "",
) -> ThreadNode:
    return ThreadNode(
        key=key, column=COLUMN[kind], kind=kind, title=title, lines=lines, code=code, mark=mark
    )


def _lot(lot: TracedLot, shown: Preference) -> ThreadNode:
    lines = [lot.name]
    if lot.supplier_lot:
        lines.append(f"their lot {lot.supplier_lot}")
    lines.append(f"received {lot.received_on.isoformat()}")
    lines.append(f"{said(lot.left, shown)} in hand")
    mark = "used past its date" if lot.past else ""
    key = f"stock_lot:{lot.code}"
    return _node("stock_lot", key, lot.code, lines=tuple(lines), code=lot.code, mark=mark)


def _pour(pour: TracedPour) -> ThreadNode:
    lines = [pour.name, f"revision {pour.revision}", pour.poured_on.isoformat()]
    if pour.person:
        lines.append(f"by {pour.person}")
    mark = "" if pour.state == "finished" else pour.state
    code = str(pour.id)
    return _node("pour", f"pour:{code}", f"Pour {code}", lines=tuple(lines), code=code, mark=mark)


def _jars(jars: TracedJars, today: date) -> ThreadNode:
    lines = (jars.name, f"{jars.made} made, {jars.in_hand} in hand")
    curing = jars.in_hand > 0 and jars.ready_on > today
    mark = f"curing until {jars.ready_on.isoformat()}" if curing else ""
    key = f"jar_lot:{jars.code}"
    return _node("jar_lot", key, jars.code, lines=lines, code=jars.code, mark=mark)


def _order(sale: TracedSale | TracedPacking) -> ThreadNode:
    when = f"sent {sale.sent_on.isoformat()}" if sale.sent_on else "picked"
    mark = "" if sale.sent_on else "not sent yet"
    key, code = f"order:{sale.order}", sale.order
    return _node("order", key, code, lines=(sale.channel, when), code=code, mark=mark)


def _buyer(key: str, sale: TracedSale | TracedPacking) -> ThreadNode:
    if key == _NOBODY:
        return _node("buyer", key, "No buyer is named", mark="not known")
    return _node("buyer", key, sale.buyer, lines=(sale.contact,) if sale.contact else ())


def _count(jars: int) -> str:
    return f"{jars} jar" if jars == 1 else f"{jars} jars"

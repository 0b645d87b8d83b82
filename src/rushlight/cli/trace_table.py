"""A trace as tables on the terminal."""

from __future__ import annotations

from rushlight.cli.recall_table import show_packed
from rushlight.cli.stores_table import Shown, day, moment
from rushlight.quantity import show
from rushlight.quantity.preference import Preference
from rushlight.workshop.stores.finish_form import REASONS
from rushlight.workshop.stores.thread_views import WORDS, ThreadNode
from rushlight.workshop.stores.trace_views import Bench, Trace


def show_trace(found: Trace, pref: Preference) -> None:
    """Write the thread, then what is known of each thing on it."""
    shown = Shown(pref)
    asked = found.thread.asked
    shown.line(" · ".join((f"{WORDS[asked.kind]} {_titled(asked)}", *asked.lines)), "bold")
    for caution in found.cautions:
        shown.line(caution, "bold")
    shown.rows(
        "Thread",
        ("From", "Into", "How much>"),
        ((_titled(row.source), _titled(row.target), row.label) for row in found.thread.rows),
    )
    shown.rows(
        "Lots",
        ("Lot", "Material", "Supplier", "Their lot", "Came on", "Used>"),
        (
            (
                *(one.code, one.name, one.supplier, one.supplier_lot),
                *(day(one.received_on), shown.amount(one.used)),
            )
            for one in found.lots
        ),
    )
    shown.rows(
        "Pours",
        ("Pour>", "Candle", "Poured", "By", "Good>", "Rejected>"),
        (
            (one.id, one.name, day(one.poured_on), one.person, one.good, one.rejected)
            for one in found.pours
        ),
    )
    _bench(shown, found.bench)
    shown.rows(
        "Jars",
        ("Lot", "Candle", "Made>", "In hand>", "Sold>", "Out of cure"),
        (
            (one.code, one.name, one.made, one.in_hand + one.picked, one.sold, day(one.ready_on))
            for one in found.jars
        ),
    )
    shown.rows(
        "Orders",
        ("Order", "Of lot", "Jars>", "Buyer", "Channel", "Sent"),
        (
            (one.order, one.lot, one.jars, one.buyer, one.channel, day(one.sent_on) or "not yet")
            for one in found.sales
        ),
    )
    show_packed(shown, found.packed)


def _titled(node: ThreadNode | None) -> str:
    """Return a node by its name, with its code where the name does not tell it."""
    if node is None:
        return ""
    title = node.title if not node.code or node.code in node.title else f"{node.title} {node.code}"
    return f"{title} ({node.mark})" if node.mark else title


def _bench(shown: Shown, bench: Bench) -> None:
    """Write what happened at the bench."""
    shown.rows(
        "Weighed",
        ("Pour>", "Pot>", "What", "At", "Scale said>"),
        (
            (one.pour, one.pot, one.line, moment(one.at), show.mass(one.amount, shown.pref))
            for one in bench.weighings
        ),
    )
    shown.rows(
        "Readings",
        ("Pour>", "Pot>", "At", "Temperature>"),
        (
            (one.pour, one.pot, moment(one.at), show.temperature(one.temperature, shown.pref))
            for one in bench.readings
        ),
    )
    shown.rows(
        "Work",
        ("Pour>", "Step", "By", "From", "To"),
        (
            (one.pour, one.step, one.person, moment(one.started_at), moment(one.stopped_at))
            for one in bench.work
        ),
    )
    shown.rows(
        "Rejected",
        ("Pour>", "Why", "Jars>"),
        ((one.pour, REASONS.get(one.reason, one.reason), one.jars) for one in bench.rejects),
    )

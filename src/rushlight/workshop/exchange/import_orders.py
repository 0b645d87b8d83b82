"""Orders that come in from a list: rows with one order number are one order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.workshop.exchange.cells import Line
from rushlight.workshop.exchange.run import Run
from rushlight.workshop.stores.catalogue import Catalogue
from rushlight.workshop.stores.orders import save_within

_HEAD: Final = ("channel", "buyer", "contact", "placed", "due")
_LINE: Final = ("candle", "jars", "price")


def run_orders(run: Run) -> None:
    """Enter the orders; a row without an order number is an order of its own."""
    groups: dict[str, list[Line]] = {}
    for line in run.lines.lines:
        own = line.texts.get("order", "")
        groups.setdefault(f"order {own}" if own else f"row {line.number}", []).append(line)
    catalogue = Catalogue(run.shop, run.work.connection)
    for group in groups.values():
        with run.noting(group):
            _order(run, group, catalogue)


def _order(run: Run, group: Sequence[Line], catalogue: Catalogue) -> None:
    from rushlight.store.queries.exchange import same_order

    typed = run.shared(group, _HEAD)
    # the workshop numbers orders itself; the other number is kept where it can be found again
    other = group[0].texts.get("order", "")
    label = f"Order {other}" if other else ""
    if label and same_order(run.work.connection, label):
        raise BadInput.one(
            f"“{label[:40]}” is in the workshop already.",
            "Leave it out: it would count twice.",
            "order",
        )
    notes = dict.fromkeys(line.texts["note"] for line in group if "note" in line.texts)
    typed["note"] = "\n".join(part for part in (label, *notes) if part)
    for i, line in enumerate(group):
        if line.texts.get("jars", "").strip("0") == "" and "jars" in line.texts:
            run.add(line, "jars", "No jar is sold in this row.", "Leave the row out.")
        typed |= {f"lines.{i}.{key}": line.texts[key] for key in _LINE if key in line.texts}
    saved = save_within(run.shop, run.work, None, typed, catalogue=catalogue)
    run.touched.add(f"order:{saved.code}")
    run.counts["order"] += 1
    run.counts["jar"] += sum(parse.count(line.texts["jars"]) for line in group)

"""Deliveries that come in from a list: a row is a line, and lines of one delivery go together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rushlight.errors import BadInput
from rushlight.workshop.exchange.cells import Line
from rushlight.workshop.exchange.run import Run
from rushlight.workshop.stores.receiving import receive_within

_HEAD: Final = ("supplier", "day", "reference", "freight", "freight_by", "duty", "duty_by")
_LINE: Final = ("material", "packs", "pack", "price", "supplier_lot", "expires", "date_kind")


def run_deliveries(run: Run) -> None:
    """Book the deliveries: rows of one day, supplier and reference are one."""
    from rushlight.store.marks import plain

    groups: dict[tuple[str, ...], list[Line]] = {}
    for line in run.lines.lines:
        texts = line.texts
        which = (texts.get("day", ""), plain(texts.get("supplier", "")), texts.get("reference", ""))
        groups.setdefault(which, []).append(line)
    for group in groups.values():
        with run.noting(group):
            _delivery(run, group)


def _delivery(run: Run, group: Sequence[Line]) -> None:
    from rushlight.store.queries.exchange import same_delivery

    first = group[0].texts
    if first.get("reference") and same_delivery(
        run.work.connection, first.get("supplier", ""), first.get("day", ""), first["reference"]
    ):
        raise BadInput.one(
            f"The delivery {first['reference'][:40]} of that day is in the workshop already.",
            "Leave it out: it would count twice.",
            "reference",
        )
    typed = run.shared(group, _HEAD)
    notes = dict.fromkeys(line.texts["note"] for line in group if "note" in line.texts)
    typed["note"] = "\n".join(notes)
    for i, line in enumerate(group):
        typed |= {f"lines.{i}.{key}": line.texts[key] for key in _LINE if key in line.texts}
    number = receive_within(run.shop, run.work, typed)
    run.touched.add(f"delivery:{number}")
    run.counts["delivery"] += 1
    run.counts["lot"] += len(group)

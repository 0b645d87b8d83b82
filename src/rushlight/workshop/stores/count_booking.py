"""Booking a stocktake: all its differences in one deed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from rushlight.quantity import show
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores.amounts import money, preference_of
from rushlight.workshop.stores.counting import moved, off, worth
from rushlight.workshop.stores.saying import said
from rushlight.workshop.typed import LONGEST_NOTE, Typed

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.quantity.preference import Preference
    from rushlight.store.deeds import Work

AS_COUNTED: Final = "as counted"
"""What `moved` says to book a count though something has moved since."""


def read_reason(
    connection: Connection, typed: Mapping[str, str], lines: Sequence[RowMapping]
) -> str:
    """Return why the books were wrong; BadInput with every problem, each line's at its place."""
    form = Typed(typed, ("reason", "moved"))
    pref = preference_of(connection)
    reason = form.text("reason", longest=LONGEST_NOTE)
    if not reason and any(off(line) for line in lines) and not form.problems.found:
        form.problems.add(
            "reason",
            "Something differs from the books.",
            "Say why, as far as you know: “spilt, not written down”.",
        )
    asked = form.choice("moved", ("", AS_COUNTED), "")
    if asked != AS_COUNTED and any(moved(line) for line in lines):
        form.problems.add(
            "moved",
            "Something has moved since it was counted.",
            "Count those lots again, or book the counts as they are.",
        )
    for line in lines:
        if line["undone_at"] is not None:
            form.problems.add(
                f"line.{line['id']}",
                f"That {line['code']} came here was undone since.",
                "Empty its count.",
            )
        elif moved(line) and asked != AS_COUNTED:
            _note_moved(form, line, pref)
    form.problems.check()
    return reason


def _note_moved(form: Typed, line: RowMapping, pref: Preference) -> None:
    since = moved(line)
    amount = said(Amount(abs(since), Measure(line["measure"])), pref)
    form.problems.add(
        f"line.{line['id']}",
        f"{amount} {'went into' if since > 0 else 'left'} {line['code']} since it was counted.",
        "Count it again, or book the counts as they are.",
    )


def book_lines(work: Work, lines: Sequence[RowMapping], reason: str) -> str:
    """Write the movements of all lines that differ; return what was booked, in words."""
    total = wrong = 0
    for line in lines:
        more = off(line)
        work.change("count_line", line["id"], expected=int(line["left"]))
        if not more:
            continue
        wrong += 1
        value = worth(line, more)
        total += value
        told = {
            "value": value,
            "reason": "counted",
            "note": reason,
            "stocktake_id": line["stocktake_id"],
        }
        if line["stock_lot_id"] is not None:
            work.do("move", stock_lot_id=line["stock_lot_id"], amount=more, **told)
        else:
            work.do("jars", jar_lot_id=line["jar_lot_id"], jars=more, **told)
    if not wrong:
        return "the books were right"
    pref = preference_of(work.connection)
    plural = "" if wrong == 1 else "s"
    return f"{wrong} difference{plural}, worth {show.money(money(total), pref)}"

"""Packing: what the jars of an order are packed in leaves the stores when the order is sent.

At sending, not at picking: picked jars stand on the bench and may yet go back to their lots or to
another order, and a carton is folded round them only when they go. A jar that a buyer returns
brings no carton back, so taking back moves none. Undoing the sending does, for then nothing left.

Packaging never keeps an order from being sent. What the stores do not have of it is told, on the
order and in the deed, and is neither drawn nor costed.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from rushlight.errors import BadInput
from rushlight.workshop.material_views import Amount, Measure

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.store.deeds import Work
    from rushlight.workshop.settings import Settings
    from rushlight.workshop.supplies import Need

PACKED: Final = "packed"
"""Why packaging leaves its lot."""


def pack(work: Work, lines: Sequence[RowMapping]) -> tuple[str, ...]:
    """Draw what the lines of an order are packed in, first expiring first, as far as it is there.

    lines: of `store.queries.orders.lines`. Returns, a sentence each, what was not in the books.
    """
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of
    from rushlight.workshop.supplies import stored_materials

    connection = work.connection
    known = settings_of(settings(connection))
    short, unkept, unread = Counter[str](), Counter[str](), []
    for line in lines:
        try:
            needs = _needs(connection, line["candle_id"], known)
        except BadInput:
            unread.append(f"What {line['name']} is packed in cannot be read. Look at its price.")
            continue
        rows = stored_materials(connection, needs)
        for need in needs:
            pieces = need.amount.units * int(line["jars"])
            row = rows.get((need.role, need.use))
            if row is None or row["measure"] != Measure.PIECES:
                unkept[need.use] += pieces
            else:
                short[row["name"]] += pieces - _drawn(work, row["id"], pieces, line["id"])
    return (
        *(f"{pieces} of {name} were not in the books. Count them." for name, pieces in short.items()
          if pieces),
        *(f"{pieces} of {name} left too, which is none of your materials. Add it to keep count."
          for name, pieces in unkept.items() if pieces),
        *dict.fromkeys(unread),
    )  # fmt: skip


def _needs(connection: Connection, candle: int, settings: Settings) -> tuple[Need, ...]:
    """Return what one jar of a candle is packed in by its current revision, each thing once."""
    from rushlight.store.marks import plain
    from rushlight.store.queries.candles import last_number, revision_row
    from rushlight.workshop.costing import packaging

    row = revision_row(connection, candle, last_number(connection, candle))
    document = {} if row is None else json.loads(row["document"])
    found: dict[str, Need] = {}
    for need in packaging(document, settings):
        before = found.get(plain(need.use))
        units = need.amount.units + (0 if before is None else before.amount.units)
        found[plain(need.use)] = replace(need, amount=Amount(units, Measure.PIECES))
    return tuple(found.values())


def _drawn(work: Work, material: int, pieces: int, line: int) -> int:
    """Draw so many pieces for a line, or as many as there are; return how many."""
    from rushlight.store.queries.materials import held
    from rushlight.workshop.stores.ledger import draw

    there = min(pieces, held(work.connection, [material]).get(material, 0))
    if there:
        draw(work, material, there, reason=PACKED, order_line_id=line)
    return there

"""What is held of every material at a day, worked out once for each state of the ledger.

A moving average follows from everything that ever moved. The ledger is only ever added to, so
what followed from the same movements before still does: it is kept by the last number and the
count of a material's movements, and whatever of it moved since is worked out anew.
"""

from __future__ import annotations

from collections.abc import Collection
from itertools import groupby
from operator import attrgetter
from typing import TYPE_CHECKING, Final
from weakref import WeakKeyDictionary

from rushlight.workshop.stores.held import Held, held
from rushlight.workshop.stores.settled import Moved

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

_MOST: Final = 20_000  # results kept of one workshop

_NOTHING: Final = Held(0, 0, 0, 0, ())

_Known = dict[tuple[int, str | None, tuple[int, int]], Held]
_kept: WeakKeyDictionary[Engine, _Known] = WeakKeyDictionary()


def holdings(connection: Connection, until: str | None) -> dict[int, Held]:
    """Return what was held of each material that ever moved, by its number.

    until: the last day that counts, None for all of them.
    """
    from rushlight.store.queries.worth import marks

    known = _kept.setdefault(connection.engine, {})
    wanted = {owner: (owner, until, mark) for owner, mark in marks(connection).items()}
    missing = [owner for owner, key in wanted.items() if key not in known]
    worked = worked_out(connection, missing, until) if missing else {}
    fresh = {owner: worked.get(owner, _NOTHING) for owner in missing}
    found = {owner: fresh[owner] if owner in fresh else known[key] for owner, key in wanted.items()}
    if len(known) + len(fresh) > _MOST:
        known.clear()
    known.update({wanted[owner]: one for owner, one in fresh.items()})
    return found


def worked_out(
    connection: Connection, owners: Collection[int], until: str | None
) -> dict[int, Held]:
    """Return what was held of some materials, from all that moved."""
    from rushlight.store.queries import worth as query

    wanted = set(owners)
    without_cost = query.came_without_cost(connection)
    rows = map(Moved._make, query.moves(connection, owners, until))
    return {
        owner: held(list(own), without_cost)
        for owner, own in groupby(rows, key=attrgetter("material"))
        if owner in wanted
    }

"""What is held of every material at a day, worked out once for each state of the ledger.

A moving average follows from everything that ever moved. The ledger is only ever added to, so
what followed from the same movements before still does: it is kept by the last number and the
count of a material's movements, and whatever of it moved since is worked out anew.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING, Any, Final
from weakref import WeakKeyDictionary

from rushlight.errors import BadInput
from rushlight.workshop.stores.held import PLAIN, Held, held, held_plainly
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

    odd = query.not_plain(connection, owners, PLAIN)
    plain = set(owners) - odd
    found: dict[int, Held] = {}
    for owner, rows in _by_owner(query.flows(connection, plain, until) if plain else (), plain):
        try:
            found[owner] = held_plainly([(row[1], row[2]) for row in rows])
        except BadInput:
            odd.add(owner)
    if odd:
        without_cost = query.came_without_cost(connection)
        for owner, rows in _by_owner(query.moves(connection, odd, until), odd):
            found[owner] = held([Moved(*row[1:]) for row in rows], without_cost)
    return found


def _by_owner(rows: Iterable[Any], owners: Collection[int]) -> Iterator[tuple[int, Iterable[Any]]]:
    return ((owner, own) for owner, own in groupby(rows, key=itemgetter(0)) if owner in owners)

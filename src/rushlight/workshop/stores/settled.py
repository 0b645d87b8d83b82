"""What stands of a material's movements, as a cost formula must read them.

The ledger takes nothing back: it adds an entry that makes up for another. A formula that took
both at their word would see a receipt where something was never used, and an issue at the
average where a delivery never came; so such pairs are left out. What a pour brought back into
its lot was never issued either: it makes what the pour took from that lot smaller.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

_Whence = tuple[int, int | None, int | None, int | None, str]
"""Lot, pour, stocktake, line of an order, and why."""


class Moved(NamedTuple):
    """A movement: its number and lot, units [mg or pieces], value [1/10 000], and why.

    The fields are in the order of `store.queries.worth.moves`.
    """

    id: int
    lot: int
    units: int
    value: int
    reason: str
    undoes: str = ""
    pour: int | None = None
    stocktake: int | None = None
    material: int = 0
    line: int | None = None

    @property
    def whence(self) -> _Whence:
        """What a movement and all that makes up for it have in common."""
        return self.lot, self.pour, self.stocktake, self.line, self.undoes or self.reason


def settled(moves: Sequence[Moved]) -> list[Moved]:
    """Return the movements that stand, in the order they were given."""
    reasons = {move.reason for move in moves}
    stand = _without_undone(moves) if "undone" in reasons else list(moves)
    return _less_returned(stand) if "returned" in reasons else stand


def _without_undone(moves: Sequence[Moved]) -> list[Moved]:
    """Leave out each movement that was undone, with what undid it."""
    open_: dict[_Whence, list[Moved]] = {}
    gone: set[int] = set()
    for move in sorted(moves, key=lambda m: m.id):
        before = open_.setdefault(move.whence, [])
        if move.reason == "undone":
            undone = _last_like(before, -move.units, -move.value)
            if undone is not None:
                before.remove(undone)
                gone |= {undone.id, move.id}
                continue
        before.append(move)
    return [move for move in moves if move.id not in gone]


def _last_like(moves: Sequence[Moved], units: int, value: int) -> Moved | None:
    return next((m for m in reversed(moves) if (m.units, m.value) == (units, value)), None)


def _less_returned(moves: Sequence[Moved]) -> list[Moved]:
    """Take what a pour returned off what it used of the same lot, the latest use first."""
    returned = [(place, move) for place, move in enumerate(moves) if move.reason == "returned"]
    whence = {(move.lot, move.pour) for _, move in returned}
    used: dict[tuple[int, int | None], list[int]] = {}
    for place, move in enumerate(moves):
        if move.reason == "used" and (move.lot, move.pour) in whence:
            used.setdefault((move.lot, move.pour), []).append(place)
    stand: list[Moved | None] = list(moves)
    for at, back in returned:
        stand[at] = _given_back(stand, used.get((back.lot, back.pour), []), back)
    return [move for move in stand if move is not None]


def _given_back(stand: list[Moved | None], takes: list[int], back: Moved) -> Moved | None:
    """Make the latest uses smaller by what came back; return what of it was never used.

    takes: the places of the uses that are left, the latest last.
    """
    rest, worth = back.units, back.value
    while takes and rest:
        took = stand[takes[-1]]
        if took is None or rest >= -took.units:
            stand[takes.pop()] = None
            rest, worth = (rest, worth) if took is None else (rest + took.units, worth + took.value)
        else:
            left = took._replace(units=took.units + rest, value=took.value + worth)
            stand[takes[-1]] = left
            return None
    return back._replace(units=rest, value=worth) if rest else None

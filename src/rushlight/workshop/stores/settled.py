"""What stands of a material's movements, as a cost formula must read them.

The ledger takes nothing back: it adds an entry that makes up for another. A formula that took
both at their word would see a receipt where something was never used, and an issue at the
average where a delivery never came; so such pairs are left out. What a pour brought back into
its lot was never issued either: it makes what the pour took from that lot smaller.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Moved(NamedTuple):
    """A movement: its number and lot, units [mg or pieces], value [1/10 000], and why."""

    id: int
    lot: int
    units: int
    value: int
    reason: str
    undoes: str = ""
    pour: int | None = None
    stocktake: int | None = None

    @property
    def whence(self) -> tuple[int, int | None, int | None, str]:
        """What a movement and all that makes up for it have in common."""
        return self.lot, self.pour, self.stocktake, self.undoes or self.reason


def settled(moves: Sequence[Moved]) -> list[Moved]:
    """Return the movements that stand, in the order they were given."""
    stand = _without_undone(moves)
    return _less_returned(stand) if any(m.reason == "returned" for m in stand) else stand


def _without_undone(moves: Sequence[Moved]) -> list[Moved]:
    """Leave out each movement that was undone, with what undid it."""
    open_: dict[tuple[int, int | None, int | None, str], list[Moved]] = {}
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
    at = {move.id: place for place, move in enumerate(moves)}
    stand: list[Moved | None] = list(moves)
    used: dict[tuple[int, int | None], list[Moved]] = {}
    for move in moves:
        if move.reason == "used":
            used.setdefault((move.lot, move.pour), []).append(move)
    for back in moves:
        if back.reason != "returned":
            continue
        takes, rest, worth = used.get((back.lot, back.pour), []), back.units, back.value
        while takes and rest >= -takes[-1].units:
            took = takes.pop()
            rest, worth = rest + took.units, worth + took.value
            stand[at[took.id]] = None
        if takes and rest:
            took = takes[-1]
            takes[-1] = took._replace(units=took.units + rest, value=took.value + worth)
            stand[at[took.id]] = takes[-1]
            rest = 0
        stand[at[back.id]] = back._replace(units=rest, value=worth) if rest else None
    return [move for move in stand if move is not None]

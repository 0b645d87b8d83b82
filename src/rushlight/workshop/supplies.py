"""What a batch takes from the stores, beside what is there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from rushlight.candle.sheet import BatchLine, BatchSheet, Role
from rushlight.quantity.si import Kilogram
from rushlight.workshop.candle_views import Supply
from rushlight.workshop.material_views import Amount, Measure

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

SHELF_ROLE: Final[Mapping[Role, str]] = {Role.FRAGRANCE: "fragrance"}
"""The shelf's word for a role, where it is another than the sheet's."""

_PLACES: Final = (
    ("vessel", "vessel"),
    ("wax", "wax"),
    ("fragrance", "fragrance.oils"),
    ("dye", "dyes"),
    ("additive", "additives"),
    ("wick", "wick"),
    ("finish", "finishes"),
)


@dataclass(frozen=True, slots=True)
class Need:
    """What a batch takes of one thing: the shelf's role, the shelf's and the shown name."""

    role: str
    use: str
    name: str
    amount: Amount


def needs_of(document: Mapping[str, Any], batch: BatchSheet) -> tuple[Need, ...]:
    """Return what a batch takes, by weight as `taken` says, and by the piece."""
    uses = _uses(document)
    found: dict[tuple[str, str, Measure], Need] = {}
    for role, name, amount in _amounts(batch):
        use = uses.get((role, name), name)
        key = (role, use, amount.measure)
        before = found[key].amount.units if key in found else 0
        total = Amount(before + amount.units, amount.measure)
        found[key] = Need(role, use, name, total)
    return tuple(found.values())


def _amounts(batch: BatchSheet) -> Iterator[tuple[str, str, Amount]]:
    for line in (*batch.lines, *batch.outside):
        yield shelf_role(line.role), line.name, Amount.of_mass(taken(line))
    for piece in batch.pieces:
        yield shelf_role(piece.role), piece.name, Amount(piece.pieces, Measure.PIECES)


def taken(line: BatchLine) -> Kilogram:
    """Return what a line takes from the stores [kg]: what the scale is to show of it.

    Where drops or blocks are counted out, or the scale would show nothing, it is the exact mass:
    twelve drops of a dye are gone from the bottle, whatever the scale makes of them.
    """
    return line.exact if line.counted or not line.total else line.total


def shelf_role(role: Role) -> str:
    """Return the shelf's word for a role of the sheet."""
    return SHELF_ROLE.get(role, role.value)


def _uses(document: Mapping[str, Any]) -> dict[tuple[str, str], str]:
    """Return, by role and shown name, what `use` says where the document names it apart."""
    found = {}
    for role, place in _PLACES:
        part: Any = document
        for key in place.split("."):
            part = part.get(key) if isinstance(part, Mapping) else None
        for row in part if isinstance(part, list | tuple) else [part]:
            if isinstance(row, Mapping) and row.get("use") and row.get("name"):
                found[role, str(row["name"]).strip()] = str(row["use"]).strip()
    return found


def stored_materials(
    connection: Connection, needs: Iterable[Need]
) -> dict[tuple[str, str], RowMapping]:
    """Return the workshop's own materials among what is needed, by role and used name."""
    from rushlight.store.marks import plain
    from rushlight.store.queries.materials import by_names

    wanted = {(need.role, plain(need.use)): (need.role, need.use) for need in needs}
    rows = by_names(connection, [called for _, called in wanted])
    found = {}
    for row in reversed(rows):
        key = wanted.get((row["role"], row["plain"]))
        if key is not None:
            found[key] = row
    return found


def supplies_of(
    connection: Connection, needs: Sequence[Need], *, but: int | None = None
) -> tuple[Supply, ...]:
    """Return the needs beside what is in hand and promised to other pours than `but`.

    A finish may be needed by weight and by the piece: it is taken as it is kept.
    """
    from rushlight.store.queries.materials import held, promised

    rows = stored_materials(connection, needs)
    ids = [row["id"] for row in rows.values()]
    in_hand = held(connection, ids) if ids else {}
    others = promised(connection, but=but) if ids else {}
    found = []
    for need in needs:
        row = rows.get((need.role, need.use))
        if row is None:
            found.append(_unkept(need))
        elif row["measure"] == need.amount.measure:
            number = row["id"]
            found.append(_kept(need, row, in_hand.get(number, 0), others.get(number, 0)))
    return tuple(found)


def _kept(need: Need, row: RowMapping, held: int, promised: int) -> Supply:
    measure = need.amount.measure
    return Supply(
        role=need.role,
        name=need.name,
        slug=row["slug"],
        needed=need.amount,
        on_hand=Amount(held, measure),
        promised=Amount(promised, measure),
        short=Amount(max(need.amount.units + promised - held, 0), measure),
    )


def _unkept(need: Need) -> Supply:
    measure = need.amount.measure
    return Supply(
        role=need.role,
        name=need.name,
        slug=None,
        needed=need.amount,
        on_hand=None,
        promised=Amount(0, measure),
        short=Amount(0, measure),
    )

"""How much of each material one jar takes, from its sheet, under the names a price can use."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from typing import NamedTuple

from rushlight.candle.sheet import JarSheet, Role


class Amount(NamedTuple):
    """An amount in a unit: "kg", "l" or "piece"."""

    value: Decimal
    unit: str


def amounts(jar: JarSheet) -> dict[str, Amount]:
    """Return the amounts of one jar by the name of each material.

    A role ("wax", "fragrance oil", "vessel" …) serves as a name as well, where
    one material alone has it.
    """
    candle = jar.candle
    listed: list[tuple[Role, str, Amount]] = [
        (Role.VESSEL, candle.vessel.name, Amount(Decimal(1), "piece")),
        (Role.WICK, candle.wick.name, Amount(Decimal(candle.wick.count), "piece")),
    ]
    listed += [
        (line.role, line.name, Amount(Decimal(str(float(line.mass))), "kg"))
        for line in (*jar.lines, *jar.finishes)
    ]
    listed += [
        (Role.FINISH, finish.name, Amount(Decimal(finish.pieces), "piece"))
        for finish in candle.finishes
        if finish.pieces
    ]
    roles = Counter(role for role, _, _ in listed)
    by_role = {str(role): amount for role, _, amount in listed if roles[role] == 1}
    return by_role | {name: amount for _, name, amount in listed}

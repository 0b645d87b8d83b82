"""The cost of a jar in whole cents that add up to its shown total."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from rushlight.cost.jar import JarCost
from rushlight.quantity.share import apportion

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the cost as shown, and the group it belongs to."""

    group: str
    name: str
    shown: Decimal


def shown_parts(cost: JarCost) -> tuple[Part, ...]:
    """Return every part; together they come to the shown total (largest remainder)."""
    parts = [
        *(("materials", use.name, use.cost) for use in cost.materials),
        *(("packaging", use.name, use.cost) for use in cost.packaging),
        ("labour", "Labour", cost.labour.cost),
        ("scrap", "Scrap", cost.scrap),
        ("overhead", "Overhead", cost.overhead),
    ]
    steps = apportion([float(amount) for *_, amount in parts], float(CENT))
    return tuple(
        Part(group, name, CENT * step) for (group, name, _), step in zip(parts, steps, strict=True)
    )


def total(parts: Sequence[Part]) -> Decimal:
    """Return what the shown parts come to."""
    return sum((part.shown for part in parts), Decimal(0))


def by_group(parts: Sequence[Part]) -> dict[str, Decimal]:
    """Return the shown parts by group, in order."""
    groups: dict[str, Decimal] = {}
    for part in parts:
        groups[part.group] = groups.get(part.group, Decimal(0)) + part.shown
    return groups

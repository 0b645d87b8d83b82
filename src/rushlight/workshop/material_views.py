"""What a material is, in every view of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.quantity.si import Kilogram

ROLES: Final = ("vessel", "wax", "fragrance", "dye", "additive", "wick", "finish", "packaging")

_COUNTED: Final = frozenset({"vessel", "wick", "packaging"})
_MOST_MASS: Final = Kilogram(1_000_000.0)
_MOST_PIECES: Final = 100_000_000


class Measure(StrEnum):
    """How a material is counted."""

    MASS = "mass"
    PIECES = "pieces"


@dataclass(frozen=True, slots=True, order=True)
class Amount:
    """An amount in the ledger: whole milligrams or whole pieces."""

    units: int
    measure: Measure

    @classmethod
    def of_mass(cls, mass: Kilogram) -> Amount:
        """Return a mass [kg] as whole milligrams."""
        return cls(round(mass * 1_000_000), Measure.MASS)

    @property
    def mass(self) -> Kilogram:
        """Mass [kg]; only where the material is weighed."""
        return Kilogram(self.units / 1_000_000)

    @property
    def pieces(self) -> int:
        """Pieces; only where the material is counted."""
        return self.units


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of a material: the value as typed and where it is from."""

    key: str
    value: Any  # text, or a list of pairs of texts for a measured profile
    origin: str  # "maker's sheet", "measured", "typical of the kind" or ""
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """A pack price of one supplier, from a number of packs on."""

    id: int
    supplier: str
    pack: str  # as typed, "10 kg"
    amount: Amount
    price: Decimal  # for one pack
    from_packs: int
    since: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One entry of the ledger."""

    at: datetime
    amount: Amount  # negative when it leaves
    reason: str  # "received", "used", "counted", "scrapped", "undone"
    note: str
    pour: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialLine:
    """A material in a list.

    planned: what planned and running pours will still take. short: what is missing
    for them (zero units when enough). unit_price: per kg or per piece, cheapest pack
    now in force.
    """

    slug: str
    role: str
    name: str
    measure: Measure
    on_hand: Amount
    planned: Amount
    short: Amount
    low_at: Amount | None
    low: bool
    unit_price: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialView:
    """A material, whole."""

    slug: str
    role: str
    name: str
    note: str
    kind: str  # the built-in kind it falls back on, or ""
    measure: Measure
    low_at: str  # as typed
    on_hand: Amount
    facts: tuple[Fact, ...]
    prices: tuple[Price, ...]
    movements: tuple[Movement, ...]  # newest first, at most 50


def usual_measure(role: str) -> Measure:
    """Return how a role is usually counted."""
    return Measure.PIECES if role in _COUNTED else Measure.MASS


def amount_reader(measure: Measure, *, unit: str | None = None) -> Callable[[str], Amount]:
    """Return the parser of an amount: of pieces, or of a mass; unit: of a bare number, if any."""
    if measure is Measure.PIECES:
        return lambda text: Amount(_count(text), measure)
    return lambda text: Amount.of_mass(_mass(text, unit))


def _mass(text: str, unit: str | None) -> Kilogram:
    mass = parse.mass(text, default=unit)
    if mass > _MOST_MASS:
        raise BadInput.one(f"“{text}” is more than any workshop holds.", "Check the unit.")
    return mass


def _count(text: str) -> int:
    pieces = parse.count(text)
    if pieces > _MOST_PIECES:
        raise BadInput.one(f"“{text}” is more than any workshop holds.", "Check the digits.")
    return pieces

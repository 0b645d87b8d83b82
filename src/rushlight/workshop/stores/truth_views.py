"""What is true of costs: what the stores are worth, what things cost, what was earned.

Money is a Decimal in the currency of the workshop; None where it is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from rushlight.cost.margin import Margin
from rushlight.workshop.material_views import Amount, Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Three:
    """A worth in three ways: as the lots bear it, first in first out, at the weighted average.

    fifo, average: None where the days of the movements contradict one another.
    """

    by_lot: Decimal
    fifo: Decimal | None
    average: Decimal | None


@dataclass(frozen=True, slots=True)
class UnknownLot:
    """A lot in hand whose cost is not known: it is in no worth."""

    code: str
    supplier_lot: str
    received_on: date
    on_hand: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialWorth:
    """What there is of a material, of known cost; unknown: the lots left out."""

    material: str  # slug
    name: str
    role: str
    on_hand: Amount
    worth: Three
    unknown: tuple[UnknownLot, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JarsWorth:
    """Jars of a candle in hand, of known cost; unknown: (lot, jars) of those left out."""

    candle: str  # slug
    name: str
    jars: int
    worth: Decimal
    unknown: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Valuation:
    """What the stores were worth at the end of a day, exact to 1/10 000 of the currency."""

    day: date
    materials: tuple[MaterialWorth, ...]
    materials_total: Three
    jars: tuple[JarsWorth, ...]
    jars_total: Decimal

    @property
    def total(self) -> Decimal:
        """Materials as the lots bear them, and jars."""
        return self.materials_total.by_lot + self.jars_total

    @property
    def unknown(self) -> tuple[tuple[MaterialWorth, UnknownLot], ...]:
        """The lots of materials left out, each with its material."""
        return tuple((one, lot) for one in self.materials for lot in one.unknown)

    @property
    def unknown_jars(self) -> tuple[tuple[JarsWorth, str, int], ...]:
        """The lots of jars left out, each with its candle and how many jars it has."""
        return tuple((one, lot, jars) for one in self.jars for lot, jars in one.unknown)


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPrice:
    """A pack price as it was noted; unit: for a kilogram or a piece. dropped: out of use now."""

    supplier: str
    pack: str  # as typed
    from_packs: int
    since: date
    price: Decimal
    unit: Decimal
    dropped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedCost:
    """What a lot cost to have here, freight and duty in it; unit: None where not known."""

    lot: str  # code
    supplier: str
    received_on: date
    came: Amount
    unit: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceHistory:
    """What a material was asked for and what it cost, for a kilogram or a piece; oldest first."""

    material: str  # slug
    name: str
    measure: Measure
    asked: tuple[AskedPrice, ...]
    landed: tuple[LandedCost, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginLine:
    """What the jars of a candle brought through a channel."""

    candle: str  # slug
    name: str
    channel: str
    margin: Margin


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginMonth:
    """What the jars sold in a month brought; month: its first day."""

    month: date
    margin: Margin


@dataclass(frozen=True, slots=True)
class Went:
    """Jars that left and were not sold; cost: None while that of one of them is not known."""

    reason: str  # "given", "testing" or "broken"
    jars: int
    cost: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """What was earned from a first to a last day.

    lines: by candle and channel, the most taken first; channels: (name, margin), likewise.
    went: what left without being sold; it is in no margin.
    """

    first: date
    last: date
    lines: tuple[MarginLine, ...]
    channels: tuple[tuple[str, Margin], ...]
    months: tuple[MarginMonth, ...]
    total: Margin
    went: tuple[Went, ...]


@dataclass(frozen=True, slots=True)
class LotTaken:
    """What a pour took of a lot; cost: None where that of the lot is not known."""

    lot: str  # code
    amount: Amount
    cost: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialTruth:
    """Planned beside actual for one material.

    planned_unit: the price in force when it was planned, for a kilogram or a piece. price, usage:
    the two parts of the difference in cost. Each None where it follows from what is not known.
    """

    name: str
    material: str  # slug
    planned: Amount
    actual: Amount
    planned_unit: Decimal | None
    planned_cost: Decimal | None
    actual_cost: Decimal | None
    price: Decimal | None
    usage: Decimal | None
    lots: tuple[LotTaken, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourTruth:
    """A step of the work: planned for the whole pour, and timed (None: nobody timed it)."""

    step: str
    planned: timedelta
    timed: timedelta | None
    planned_cost: Decimal
    actual_cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """A cost planned and actual, of the whole pour or of a jar; None where not known."""

    planned: Decimal | None
    actual: Decimal | None

    @property
    def more(self) -> Decimal | None:
        """Actual less planned."""
        if self.planned is None or self.actual is None:
            return None
        return self.actual - self.planned


@dataclass(frozen=True, slots=True, kw_only=True)
class PourTruth:
    """What a finished pour really cost, beside its plan.

    jars: wanted; good, rejected: as finished. thrown: what was left over and scrapped, borne by
    no jar. a_jar: the whole over the jars wanted, and over the good ones. price, usage: the parts
    of the difference in materials; unsplit: the materials it could not be split for. unkept: what
    the workshop keeps no stock of, so that it is in neither cost.
    """

    pour: int
    lot: str  # code of the jars, "" where none was good
    jars: int
    good: int
    rejected: tuple[tuple[str, int], ...]
    materials: tuple[MaterialTruth, ...]
    labour: tuple[LabourTruth, ...]
    material_cost: Cost
    labour_cost: Cost
    overhead: Cost
    total: Cost
    a_jar: Cost
    thrown: Decimal
    price: Decimal
    usage: Decimal
    unsplit: tuple[str, ...]
    unkept: tuple[str, ...]

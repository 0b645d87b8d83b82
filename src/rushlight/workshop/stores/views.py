"""What lots, deliveries, jars and orders are, in every view of them.

Money is a Decimal in the currency of the workshop; None where a cost is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from rushlight.workshop.material_views import Amount, Measure

if TYPE_CHECKING:  # of no use to most commands, and it takes the safety data sheets along
    from rushlight.workshop.hazard_views import AttachmentLine


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """A lot of a material in a list. unit_cost: landed, for a kilogram or a piece.

    held: what running pours hold of it. date_kind: "expiry", "retest" or "". cost: landed, of
    the whole lot; of one whose cost was entered later, of what was left of it then.
    """

    code: str
    material: str  # slug
    name: str
    role: str
    measure: Measure
    supplier: str
    supplier_lot: str
    received_on: date
    expires_on: date | None
    date_kind: str
    came: Amount
    left: Amount
    held: Amount
    cost: Decimal | None
    worth: Decimal | None
    unit_cost: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotMove:
    """One movement of a lot: what moved, with the cost that moved along."""

    at: datetime
    amount: Amount
    value: Decimal
    reason: str
    note: str
    pour: int | None
    stocktake: int | None
    order: str = ""  # code of the order it was packed for


@dataclass(frozen=True, slots=True, kw_only=True)
class LotView:
    """A lot of a material, whole. moves: newest first, at most 200."""

    line: LotLine
    delivery: int | None
    note: str
    moves: tuple[LotMove, ...]
    files: tuple[AttachmentLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryLine:
    """A delivery in a list; total: goods, freight and duty."""

    id: int
    day: date
    supplier: str
    reference: str
    lots: int
    total: Decimal
    undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryView:
    """A delivery, whole."""

    line: DeliveryLine
    freight: Decimal
    duty: Decimal
    freight_by: str  # "value" or "mass"
    duty_by: str
    note: str
    lots: tuple[LotLine, ...]


class JarState(StrEnum):
    """Where the jars of a lot that are in hand stand."""

    CURING = "curing"
    READY = "ready"
    GONE = "gone"  # none is in hand


@dataclass(frozen=True, slots=True, kw_only=True)
class JarLotLine:
    """The jars of a pour in a list. cost: of one jar, None where not known."""

    code: str
    pour: int
    candle: str  # slug
    name: str
    revision: int
    poured_on: date
    ready_on: date
    made: int
    left: int
    state: JarState
    cost: Decimal | None
    worth: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JarMove:
    """One entry of a lot of jars: how many came or went, why, to whom."""

    at: datetime
    jars: int
    value: Decimal
    reason: str  # poured, sold, given, testing, broken, taken back, counted, undone
    note: str
    order: str  # code of the order, or ""
    buyer: str
    channel: str
    stocktake: int | None


@dataclass(frozen=True, slots=True)
class CostPart:
    """A part of what the jars of a pour cost in all."""

    name: str
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class JarLotView:
    """The jars of a pour, whole. went: jars by reason (sold, given, testing, broken …), net."""

    line: JarLotLine
    went: tuple[tuple[str, int], ...]
    rejected: tuple[tuple[str, int], ...]  # reason, jars
    parts: tuple[CostPart, ...]
    person: str
    moves: tuple[JarMove, ...]


class OrderState(StrEnum):
    """How far an order is."""

    OPEN = "open"
    PICKED = "picked"  # every line, not yet sent
    SENT = "sent"
    CANCELLED = "cancelled"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """An order in a list; takings: jars times price, before the channel's fees."""

    code: str
    state: OrderState
    channel: str  # name
    buyer: str
    placed_on: date
    due_on: date | None
    jars: int
    picked: int
    takings: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePicked:
    """Jars of one lot picked for an order line."""

    lot: str
    jars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderItem:
    """A line of an order."""

    id: int
    candle: str  # slug
    name: str
    jars: int
    price: Decimal
    picked: tuple[LinePicked, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedIn:
    """What an order was packed in, of one lot."""

    material: str  # slug
    name: str
    lot: str  # code
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderView:
    """An order, whole. unpacked: which packaging was not in the books, a sentence each."""

    line: OrderLine
    channel: str  # slug
    contact: str
    note: str
    items: tuple[OrderItem, ...]
    sent_at: datetime | None
    packed: tuple[PackedIn, ...] = ()
    unpacked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PickChoice:
    """A lot in hand that jars of an order line may be picked from."""

    lot: str
    left: int
    ready_on: date
    curing: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """Jars of one lot proposed for an order line; short: jars of the line no cured lot has.

    choices: every lot of the candle in hand, the first out of cure first.
    """

    line: int
    candle: str
    name: str
    lots: tuple[LinePicked, ...]
    short: int
    curing_until: date | None  # when the next lot that would help is out of cure
    choices: tuple[PickChoice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpiringLot:
    """A lot whose date comes or is past; days: until then, negative when past."""

    lot: LotLine
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """A line of a stocktake. expected: None while it is counted blind.

    difference, worth: counted against the books now; None until it is counted (or where the
    cost of the lot is not known). moved: what went into the lot, or out of it, since it was
    counted; None where nothing did.
    """

    id: int
    code: str
    name: str
    role: str  # a role of materials, or "jars"
    measure: Measure
    supplier_lot: str
    expected: Amount | None
    typed: str
    counted: Amount | None
    difference: Amount | None
    worth: Decimal | None
    moved: Amount | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StocktakeLine:
    """A stocktake in a list; worth: of all its differences."""

    id: int
    of: str  # "materials", "jars" or "both"
    role: str
    blind: bool
    state: str  # "open", "booked", "abandoned"
    opened_at: datetime
    booked_at: datetime | None
    lines: int
    counted: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StocktakeView:
    """A stocktake, whole. worth: of the differences of what is counted so far."""

    line: StocktakeLine
    reason: str
    lines: tuple[CountLine, ...]
    worth: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class LotChoice:
    """A lot a need may be taken from. free: what no other running pour holds of it.

    past: its expiry or retest date is past; it is then never proposed, only chosen.
    """

    lot: LotLine
    free: Amount
    taken: Amount  # proposed, or held once the pour runs
    past: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NeedLots:
    """What a pour needs of a material and the lots it is taken from, first expiring first."""

    need: int
    material: str  # slug
    role: str
    name: str
    needed: Amount
    short: Amount
    lots: tuple[LotChoice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """Time worked on a step of a pour; stopped_at: None while it runs."""

    id: int
    step: str
    person: str
    started_at: datetime
    stopped_at: datetime | None

"""What a trace found: lots, pours, jars and where they went, as rows of its tables."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from rushlight.quantity.si import Kelvin, Kilogram
from rushlight.workshop.material_views import Amount
from rushlight.workshop.stores.thread_views import Kind, Thread


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """Something that a typed text may mean. code: what `thread` takes; title, told: in words."""

    code: str
    kind: Kind
    title: str
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a typed text means. slip: why it is no code of ours, where it nearly is one."""

    asked: str
    hits: tuple[Hit, ...]
    slip: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedLot:
    """A lot of a material on the thread.

    used: in the pours and for the orders looked at, what came back taken off.

    past: it was used after its date.
    """

    code: str
    material: str  # slug
    name: str
    role: str
    used: Amount
    came: Amount
    left: Amount
    supplier: str  # "" where not known
    supplier_lot: str
    delivery: int | None
    received_on: date
    expires_on: date | None
    date_kind: str  # "expiry", "retest" or ""
    past: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedPour:
    """A pour on the thread; poured_on: the day it was started."""

    id: int
    candle: str  # slug
    name: str
    revision: int
    state: str
    poured_on: date
    person: str
    good: int | None
    rejected: int | None
    note: str


@dataclass(frozen=True, slots=True)
class TracedUse:
    """How much of a lot went into a pour."""

    lot: str
    pour: int
    amount: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedJars:
    """The jars of a pour, and where they are.

    made = in_hand + picked + sold + given + testing + broken + missing - came_back. picked:
    for orders not sent yet. missing: what counts found short, below zero where they found
    more. came_back: taken back without an order named. Of an order only picked and sold are
    told, and they do not add up to made.
    """

    code: str
    pour: int
    candle: str  # slug
    name: str
    revision: int
    poured_on: date
    ready_on: date
    made: int
    in_hand: int
    picked: int
    sold: int
    given: int
    testing: int
    broken: int
    missing: int
    came_back: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedSale:
    """Jars of one lot that went to one order. sent_on: None while they wait here.

    buyer: "" where nobody is named. early: they were picked before their cure was over.
    """

    order: str
    lot: str
    name: str  # of the candle
    jars: int
    channel: str
    buyer: str
    contact: str
    placed_on: date
    sent_on: date | None
    early: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedPacking:
    """What jars of one line of an order were packed in, of one lot of packaging.

    line: its number, for a line may be packed in several lots; jars: how many it still has, of
    the jar lots.
    """

    order: str
    line: int
    lot: str
    pieces: Amount
    name: str  # of the candle
    jars: int
    jar_lots: tuple[str, ...]
    channel: str
    buyer: str
    contact: str
    placed_on: date
    sent_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedReading:
    """A reading of the thermometer."""

    pour: int
    pot: int
    at: datetime
    temperature: Kelvin
    typed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedWeighing:
    """What the scale said of one line of a pot."""

    pour: int
    pot: int
    line: str
    at: datetime
    amount: Kilogram
    typed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedWork:
    """Who worked on a pour; stopped_at: None where it was never stopped."""

    pour: int
    step: str
    person: str
    started_at: datetime
    stopped_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedReject:
    """Jars of a pour that were not good."""

    pour: int
    reason: str
    jars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What happened at the bench, told of the pours of a lot of jars or an order."""

    readings: tuple[TracedReading, ...] = ()
    weighings: tuple[TracedWeighing, ...] = ()
    work: tuple[TracedWork, ...] = ()
    rejects: tuple[TracedReject, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """All that is known of where something came from and where it went, beside its thread.

    kind: of what was asked for, `code` its code as printed. bench: empty for a lot of a
    material, whose pours may be hundreds. cautions: what to notice, one sentence each.
    """

    code: str
    kind: Kind
    thread: Thread
    lots: tuple[TracedLot, ...]
    uses: tuple[TracedUse, ...]
    pours: tuple[TracedPour, ...]
    jars: tuple[TracedJars, ...]
    sales: tuple[TracedSale, ...]
    packed: tuple[TracedPacking, ...]
    bench: Bench
    cautions: tuple[str, ...]

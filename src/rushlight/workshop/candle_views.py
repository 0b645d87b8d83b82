"""What a candle is, in every view of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from rushlight.candle.sheet import BatchSheet, JarSheet
from rushlight.workshop.material_views import Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class CandleLine:
    """A candle in a list; last_poured: when a pour of it was last finished."""

    slug: str
    name: str
    revision: int
    saved_at: datetime
    frozen: bool
    pours: int
    last_poured: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CandleView:
    """One revision of a candle; document is what she typed, a fresh copy.

    frozen: it was poured. latest: the newest revision's number.
    """

    slug: str
    name: str
    revision: int
    latest: int
    document: dict[str, Any]
    frozen: bool
    saved_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionLine:
    """A revision in the history; changed: dotted fields that differ from the one before."""

    number: int
    saved_at: datetime
    frozen_at: datetime | None
    changed: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A material a batch needs, beside what is in hand.

    slug, on_hand: None when the workshop keeps no such material (a built-in kind).
    promised: what other planned and running pours will take. short: what is
    missing after them (zero units when enough).
    """

    role: str
    name: str
    slug: str | None
    needed: Amount
    on_hand: Amount | None
    promised: Amount
    short: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """The live recomputation: one jar, the batch, the supplies."""

    jar: JarSheet
    batch: BatchSheet
    supplies: tuple[Supply, ...]

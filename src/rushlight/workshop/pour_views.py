"""What a pour is, in every view of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from rushlight.candle.sheet import Role
from rushlight.quantity.si import Kelvin, Kilogram
from rushlight.workshop.candle_views import Sheets

if TYPE_CHECKING:
    from rushlight.heat.pot import PotForecast


class PourState(StrEnum):
    """Where a pour stands."""

    PLANNED = "planned"
    RUNNING = "running"
    FINISHED = "finished"
    ABANDONED = "abandoned"


@dataclass(frozen=True, slots=True, kw_only=True)
class PourLine:
    """A pour in a list; ready_on: when its cure is over, jar_lot: its jars or "", once finished."""

    id: int
    slug: str
    candle: str
    revision: int
    state: PourState
    planned_for: date
    jars: int
    started_at: datetime | None
    finished_at: datetime | None
    ready_on: date | None
    jar_lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A weighing done: what the scale said."""

    pot: int
    line: str
    actual: Kilogram
    typed: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighLine:
    """One thing to weigh into one pot; key names it in tick and untick."""

    key: str
    role: Role
    name: str
    planned: Kilogram
    counted: str
    tick: Tick | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A thermometer reading of a pot."""

    id: int
    pot: int
    temperature: Kelvin
    typed: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Timer:
    """A timer: its deadline is kept, not its countdown."""

    id: int
    pot: int
    name: str
    started_at: datetime
    deadline: datetime
    stopped_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PotView:
    """One pot of a pour (numbered from 1): what to weigh, what was read, what runs."""

    number: int
    lines: tuple[WeighLine, ...]
    readings: tuple[Reading, ...]
    timers: tuple[Timer, ...]

    @property
    def weighed(self) -> bool:
        """Whether every line is ticked."""
        return all(line.tick is not None for line in self.lines)


@dataclass(frozen=True, slots=True, kw_only=True)
class PourView:
    """A pour, whole. document: what she typed, with every fact it rested on, as it was.

    rejects: rejected jars by reason. jar_lot: the code of its good jars, or "".
    """

    id: int
    slug: str
    candle: str
    revision: int
    state: PourState
    planned_for: date
    planned_at: datetime
    started_at: datetime | None
    finished_at: datetime | None
    ready_on: date | None
    jars: int
    good: int | None
    rejected: int | None
    note: str
    document: dict[str, Any]
    batch: Mapping[str, str]
    sheets: Sheets
    pots: tuple[PotView, ...]
    person: str = ""
    rejects: tuple[tuple[str, int], ...] = ()
    jar_lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PotClock:
    """The pour window of a pot, on the clock.

    opens, closes: None when the window is not reached in the time looked at.
    forecast: the curve in seconds since `origin`, the first reading.
    """

    pot: int
    origin: datetime
    opens: datetime | None
    closes: datetime | None
    spread_opens: timedelta | None  # a half-width that holds nine times in ten
    spread_closes: timedelta | None
    forecast: PotForecast

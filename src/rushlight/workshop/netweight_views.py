"""What is kept of weighed jars."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rushlight.hazard.netcontents.lot import LotVerdict
from rushlight.quantity.si import Kilogram


@dataclass(frozen=True, slots=True, kw_only=True)
class LotView:
    """The weighed jars of one lot, as typed and as judged; the record never changes.

    masses: net [kg], in the order weighed. jars: in the whole lot.
    """

    id: int
    candle: str  # slug
    candle_name: str
    pour: int | None
    label: Kilogram
    label_typed: str
    jars: int
    tare_typed: str
    typed: str
    opened: bool  # the jars weighed were opened for it
    masses: tuple[Kilogram, ...]
    note: str
    weighed_at: datetime
    verdict: LotVerdict

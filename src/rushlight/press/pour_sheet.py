"""The pour sheet on paper: what she prints, takes to the bench and writes on.

Everything here is text ready to print, or a length on the page; what the words and
numbers are is decided in `pour_sheet_from`, how they look in `pour_sheet.typ`.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict, dataclass, field

from rushlight.press.glyphs import printable, shortened
from rushlight.press.paper import Paper
from rushlight.press.printed import WORKING_AID, as_printed, some_characters
from rushlight.press.typeset import typeset

NAMELESS = "Candle without a name"


@dataclass(frozen=True, slots=True)
class Fact:
    """A name and what it is, as text."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Weighing:
    """One thing to weigh, or to count, into every pot.

    target: per pot, in large figures; total: for all pots. beside: a remark in small
    print, such as the weight of what is counted.
    """

    role: str
    name: str
    target: str
    total: str
    beside: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """Where a window lies on the temperature strip: 0 is its left end, 1 its right."""

    low: float
    aim: float
    high: float


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on the temperature strip: where (0 to 1) and what is written there."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the day: what, the value to aim for, the range, its band if it has one."""

    name: str
    aim: str
    span: str
    band: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """The steps of the day over one temperature scale."""

    steps: tuple[Step, ...]
    ticks: tuple[Tick, ...]
    flash: Tick | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """An inner diameter [mm] at a height above the inner base [mm]."""

    height: float
    diameter: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfSection:
    """The vessel to scale, in mm of the vessel, and what to write on its dimension lines.

    fill and wick are heights above the inner base [mm]; wick is the trimmed tip.
    """

    places: tuple[Place, ...]
    wall: float
    base: float
    fill: float
    wick: float
    diameter_text: str
    depth_text: str
    fill_text: str
    headspace_text: str
    wick_text: str
    note: str = ""

    @property
    def spoken(self) -> str:
        """What the drawing shows, for a reader who hears the page."""
        return (
            f"Half-section of the vessel to scale: inner diameter at the rim "
            f"{self.diameter_text}, inner depth {self.depth_text}, filled to "
            f"{self.fill_text} above the inner base, headspace {self.headspace_text}, "
            f"wick {self.wick_text} from the inner base to its tip."
        )


@dataclass(frozen=True, slots=True)
class Care:
    """One caution: how much it weighs ("stop", "caution", "note"), what, remedy, source."""

    weight: str
    what: str
    remedy: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PourSheetData:
    """All that is printed on a pour sheet, in reading order.

    created: date of the sheet; it also dates the PDF. pots: how many equal pots, each
    of which gets its own tick boxes. reading_unit: "°C" or "°F", over the empty column
    for the thermometer.
    """

    title: str
    created: dt.date
    meta: tuple[Fact, ...]
    headline: tuple[Fact, ...]
    pots: int
    weighings: tuple[Weighing, ...]
    pot_total: str
    total: str
    allowances: str
    heat: Heat
    section: HalfSection
    facts: tuple[Fact, ...]
    ready: tuple[Fact, ...]
    cautions: tuple[Care, ...]
    reading_unit: str = "°C"
    note: str = ""
    working_aid: str = field(default=WORKING_AID)


def render(data: PourSheetData, *, paper: Paper) -> bytes:
    """Return the pour sheet as a PDF; the same data give the same bytes.

    Raises PressError when the page cannot be set cleanly.
    """
    given = asdict(data) | {"created": data.created.isoformat()}
    page = as_printed(given)
    remark = some_characters(given, page)
    page["title"] = page["title"] or NAMELESS
    page["section"]["spoken"] = printable(data.section.spoken)
    page["running_title"] = printable(shortened(data.title, longest=60)) or NAMELESS
    page["some_characters"] = remark
    page["paper"] = paper.typst_name
    return typeset("pour_sheet.typ", page, created=data.created)

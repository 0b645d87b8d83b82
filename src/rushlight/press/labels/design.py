"""A label as plain data: an outline and what stands on it, from top to bottom.

Texts are ready to print. Every length is in millimetres on the paper; heights of text are
those of the lower-case x, because that is what the rules measure.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rushlight.press.labels.faces import LEGIBLE, Face
from rushlight.press.labels.gtin import Gtin

LEGIBLE_RULE = "the smallest type that reads (common practice)"

TIE = "\u00a0"
"""A space at which no line breaks; a text may hold some."""


def tied(text: str) -> str:
    """Return a text that stays on one line."""
    return TIE.join(text.split())


class Shape(StrEnum):
    """The outline of a label."""

    RECTANGLE = "rectangle"
    ROUND = "round"


class Align(StrEnum):
    """Where a line of text, or a row of symbols, stands."""

    LEFT = "left"
    CENTRE = "center"
    RIGHT = "right"


class Stand(StrEnum):
    """How the parts of a row stand beside each other."""

    TOP = "top"
    MIDDLE = "horizon"
    BOTTOM = "bottom"
    FILL = "fill"
    """Each takes the whole height that is left: columns of a label of their own."""


class Frame(StrEnum):
    """A line drawn along the inside of the outline."""

    NONE = "none"
    LINE = "line"
    DOUBLE = "double"

    @property
    def room(self) -> float:
        """What it takes of the label beyond the margin [mm]."""
        return {"none": 0.0, "line": 1.5, "double": 2.2}[self.value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """The piece of paper: width and height [mm], a diameter twice where it is round.

    corner: radius of the corners [mm]; margin: kept free of print along the edge [mm], so
    that a sheet that lies a little askew loses nothing.
    """

    width: float
    height: float
    shape: Shape = Shape.RECTANGLE
    corner: float = 1.5
    margin: float = 2.5

    @property
    def said(self) -> str:
        """Its size in words, to 0.1 mm: paper is cut no finer."""
        width, height = round(self.width, 1), round(self.height, 1)
        if self.shape is Shape.ROUND:
            return f"round, {width:g} mm"
        return f"{width:g} × {height:g} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """How a text is set.

    x_height: of its lower-case x [mm]; least: the smallest x-height the rule allows [mm];
    rule: whose rule that is; tracking: extra space between letters [sizes].
    """

    face: Face = Face.SANS
    x_height: float = 1.2
    least: float = LEGIBLE
    rule: str = LEGIBLE_RULE
    tracking: float = 0.0

    @property
    def size(self) -> float:
        """Size of the face [mm]."""
        return self.x_height / self.face.cut.x_height


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A paragraph; place: what it is, for a reader of an error.

    clear: height kept empty above and below [mm]; foot: it has to stand within this lowest
    share of the label [1].
    """

    text: str
    letters: Lettering = Lettering()
    align: Align = Align.LEFT
    place: str = "text"
    clear: float = 0.0
    foot: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """A row of symbols of ours, upright squares of a height [mm]; see `symbols`."""

    names: tuple[str, ...]
    height: float
    gap: float = 1.6
    align: Align = Align.LEFT
    least: float = 0.0
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictograms:
    """Hazard pictograms; side: of the red square [mm], which stands on its point."""

    codes: tuple[str, ...]
    side: float
    gap: float = 1.0
    align: Align = Align.LEFT
    least: float = 0.0
    rule: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """A GTIN as bars with its figures; magnification: 1 is a module of 0.330 mm."""

    gtin: Gtin
    magnification: float = 1.0
    align: Align = Align.CENTRE


@dataclass(frozen=True, slots=True, kw_only=True)
class LotBars:
    """A GTIN and a lot as GS1-128; module: width of the narrowest bar [mm], see `gs1`."""

    gtin: Gtin
    lot: str
    module: float
    align: Align = Align.CENTRE


@dataclass(frozen=True, slots=True, kw_only=True)
class Square:
    """A QR code; module: side of one of its squares [mm]."""

    text: str
    module: float = 0.4
    align: Align = Align.CENTRE
    place: str = "qr"


@dataclass(frozen=True, slots=True)
class Rule:
    """A thin line across; thickness [mm], share of the width [1]."""

    thickness: float = 0.15
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Gap:
    """An empty height [mm]."""

    height: float


@dataclass(frozen=True, slots=True)
class Spring:
    """Whatever height is left over; several share it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Parts side by side; those of a fixed width keep it, the others share the rest.

    shares: relative widths of the parts, in place of that rule.
    """

    parts: tuple[Part, ...]
    gap: float = 2.0
    shares: tuple[float, ...] = ()
    stand: Stand = Stand.MIDDLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """Parts one below the other, as one part of a row."""

    parts: tuple[Part, ...]


Part = Words | Signs | Pictograms | Bars | LotBars | Square | Rule | Gap | Spring | Row | Column


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A label; name: what it is, for errors and for a reader by ear.

    language: of its text (BCP 47). notes: remarks for the maker, never printed.
    """

    name: str
    outline: Outline
    parts: tuple[Part, ...]
    frame: Frame = Frame.NONE
    language: str = "en"
    notes: tuple[str, ...] = ()

    @property
    def margin(self) -> float:
        """Kept free along the edge: the outline's margin and its frame [mm]."""
        return self.outline.margin + self.frame.room

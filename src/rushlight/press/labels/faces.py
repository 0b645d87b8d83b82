"""The vendored faces, and how large their letters are.

The rules speak of the height of a letter, printers of the size of a face: these figures
lead from one to the other. A test reads them from the font files.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

LEGIBLE = 0.8
"""The least x-height [mm] of any text: about 5 pt, the smallest that reads (common practice)."""
LINE = 1.25
"""Distance of two lines as a multiple of the size; Regulation (EU) 2024/2865 asks for at
least 1.2 in the hazard text (secondary source)."""
ABOVE = 0.9
"""The part of a line above its base line, as a multiple of the size."""


class Face(StrEnum):
    """A face and its cut, as a maker chooses it."""

    SANS = "sans"
    SANS_BOLD = "sans bold"
    SERIF = "serif"
    SERIF_BOLD = "serif bold"
    SERIF_ITALIC = "serif italic"

    @property
    def cut(self) -> Cut:
        """The file behind the choice and its measures."""
        return _CUTS[self]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One font file; heights are fractions of the size.

    x_height, capital: of the lower-case x and of the H; figure: of the lowest figure, flat
    or round, whichever is less; estimated: of the sign ℮.
    """

    file: str
    family: str
    weight: int
    style: str
    x_height: float
    capital: float
    figure: float
    estimated: float


_SANS = "Source Sans 3"
_SERIF = "Source Serif 4"
# Measured in the vendored files (OS/2 table and glyph outlines, 1000 units to the size).
_CUTS = {
    Face.SANS: Cut(
        file="SourceSans3-Regular.ttf",
        family=_SANS,
        weight=400,
        style="normal",
        x_height=0.486,
        capital=0.656,
        figure=0.638,
        estimated=0.672,
    ),
    Face.SANS_BOLD: Cut(
        file="SourceSans3-Semibold.ttf",
        family=_SANS,
        weight=600,
        style="normal",
        x_height=0.491,
        capital=0.654,
        figure=0.636,
        estimated=0.672,
    ),
    Face.SERIF: Cut(
        file="SourceSerif4-Regular.ttf",
        family=_SERIF,
        weight=400,
        style="normal",
        x_height=0.475,
        capital=0.670,
        figure=0.644,
        estimated=0.672,
    ),
    Face.SERIF_BOLD: Cut(
        file="SourceSerif4-Semibold.ttf",
        family=_SERIF,
        weight=600,
        style="normal",
        x_height=0.479,
        capital=0.664,
        figure=0.639,
        estimated=0.672,
    ),
    Face.SERIF_ITALIC: Cut(
        file="SourceSerif4-It.ttf",
        family=_SERIF,
        weight=400,
        style="italic",
        x_height=0.475,
        capital=0.670,
        figure=0.644,
        estimated=0.672,
    ),
}

"""Lot and date: what finds a jar again."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.errors import BadInput
from rushlight.press.labels import gs1
from rushlight.press.labels.design import (
    Align,
    Column,
    Gap,
    Label,
    Lettering,
    LotBars,
    Outline,
    Part,
    Row,
    Shape,
    Square,
    Words,
    tied,
)
from rushlight.press.labels.faces import Face
from rushlight.press.labels.gtin import Gtin

ARMS_LENGTH = 3.0
"""The x-height [mm] of a number that is read with the jar on the shelf.

At 60 cm, arm's length (common practice), 3 mm stand at 17 minutes of arc, and the figures of
these faces, 3.9 mm high, at 22: NUREG-0700, 1.3.1-4 asks for 16 at the least and prefers 20
to 22, after ISO 9241-3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """The label of a lot.

    number, date, name of the candle: as text; code: what a QR code beside them says, none
    if empty; module: side of its squares, x_height of the text [mm]; words: what stands
    before the number and the date. number_x_height: of the number [mm], which then stands on
    a line of its own. gtin: a number licensed to the maker, for which the code is bars that
    say it together with the lot (GS1-128), in place of the squares.
    """

    number: str
    date: str = ""
    name: str = ""
    code: str = ""
    x_height: float = 1.4
    module: float = 0.4
    words: tuple[str, str] = ("Lot", "Poured")
    number_x_height: float | None = None
    gtin: str = ""

    def label(self, outline: Outline) -> Label:
        """Return the label; raises BadInput where there is no number, or the GTIN is none."""
        if not self.number.strip():
            raise BadInput.one("A lot has a number.", "Type it as it stands in your book.", "lot")
        if self.gtin:
            return Label(name="lot", outline=outline, parts=self._barred())
        centred = outline.shape is Shape.ROUND or not self.code
        texts = self._texts(Align.CENTRE if centred else Align.LEFT)
        parts: tuple[Part, ...] = texts
        if self.code:
            square = Square(text=self.code, module=self.module)
            parts = (Row(parts=(square, Column(parts=texts)), gap=1.0),)
            if outline.shape is Shape.ROUND:
                parts = (square, *texts)
        return Label(name="lot", outline=outline, parts=parts)

    def _barred(self) -> tuple[Part, ...]:
        """Return the texts over the bars, and under them what they say."""
        gtin = Gtin("".join(self.gtin.replace("-", " ").split()))
        lot = self.number.strip()
        gs1.element_string(gtin, lot)  # refuses what the code cannot hold
        said = Lettering(x_height=min(self.x_height, 1.1))
        return (
            *self._texts(Align.CENTRE),
            Gap(1.0),
            LotBars(gtin=gtin, lot=lot, module=gs1.MODULE),
            Words(text=gs1.said(gtin, lot), letters=said, align=Align.CENTRE, place="gtin"),
        )

    def _texts(self, align: Align) -> tuple[Words, ...]:
        before_number, before_date = self.words
        number = tied(self.number)
        small, large = self.x_height, self.number_x_height or self.x_height
        alone = self.number_x_height is not None
        lines = (
            ("name", self.name, Face.SERIF, small),
            ("lot", before_number if alone and not self.gtin else "", Face.SANS, small),
            ("lot", number if alone else f"{before_number} {number}", Face.SANS_BOLD, large),
            ("date", self.date and f"{before_date} {tied(self.date)}", Face.SANS, small),
        )
        return tuple(
            Words(
                text=text,
                letters=Lettering(face=face, x_height=x_height),
                align=align,
                place=place,
            )
            for place, text, face, x_height in lines
            if text
        )

"""Lot and date: what finds a jar again."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.errors import BadInput
from rushlight.press.labels.design import (
    Align,
    Column,
    Label,
    Lettering,
    Outline,
    Part,
    Row,
    Shape,
    Square,
    Words,
    tied,
)
from rushlight.press.labels.faces import Face


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """The label of a lot.

    number, date, name of the candle: as text; code: what a QR code beside them says, none
    if empty; module: side of its squares, x_height of the text [mm]; words: what stands
    before the number and the date.
    """

    number: str
    date: str = ""
    name: str = ""
    code: str = ""
    x_height: float = 1.4
    module: float = 0.4
    words: tuple[str, str] = ("Lot", "Poured")

    def label(self, outline: Outline) -> Label:
        """Return the label; raises BadInput where there is no number."""
        if not self.number.strip():
            raise BadInput.one("A lot has a number.", "Type it as it stands in your book.", "lot")
        centred = outline.shape is Shape.ROUND or not self.code
        texts = self._texts(Align.CENTRE if centred else Align.LEFT)
        parts: tuple[Part, ...] = texts
        if self.code:
            square = Square(text=self.code, module=self.module)
            parts = (Row(parts=(square, Column(parts=texts)), gap=1.0),)
            if outline.shape is Shape.ROUND:
                parts = (square, *texts)
        return Label(name="lot", outline=outline, parts=parts)

    def _texts(self, align: Align) -> tuple[Words, ...]:
        before_number, before_date = self.words
        lines = (
            ("name", self.name, Face.SERIF),
            ("lot", f"{before_number} {tied(self.number)}", Face.SANS_BOLD),
            ("date", self.date and f"{before_date} {tied(self.date)}", Face.SANS),
        )
        return tuple(
            Words(
                text=text,
                letters=Lettering(face=face, x_height=self.x_height),
                align=align,
                place=place,
            )
            for place, text, face in lines
            if text
        )

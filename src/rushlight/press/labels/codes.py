"""Labels that are one code: the GTIN as bars, or a QR code with a line under it."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.press.labels.design import (
    Align,
    Bars,
    Gap,
    Label,
    Lettering,
    Outline,
    Part,
    Square,
    Words,
)
from rushlight.press.labels.gtin import Gtin

_AIR = (Gap(1.0),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Barcode:
    """A GTIN as bars; spaces and hyphens in it are overlooked; text: a line above it."""

    digits: str
    magnification: float = 1.0
    text: str = ""

    def label(self, outline: Outline) -> Label:
        """Return the label.

        Raises BadInput when the number is no GTIN or its check digit is wrong.
        """
        gtin = Gtin("".join(self.digits.replace("-", " ").split()))
        line = _line(self.text)
        parts = (*line, *(_AIR if line else ()), Bars(gtin=gtin, magnification=self.magnification))
        notes = (gtin.note,) if gtin.note else ()
        return Label(name="barcode", outline=outline, parts=parts, notes=notes)


@dataclass(frozen=True, slots=True, kw_only=True)
class QrCode:
    """A QR code; module: side of its squares [mm]; text: a line under it."""

    said: str
    module: float = 0.5
    text: str = ""

    def label(self, outline: Outline) -> Label:
        """Return the label; raises BadInput where the text is too long for a code."""
        parts = (Square(text=self.said, module=self.module), *_line(self.text))
        return Label(name="qr", outline=outline, parts=parts)


def _line(text: str) -> tuple[Part, ...]:
    """Return a line of small text, where there is one."""
    if not text:
        return ()
    letters = Lettering(x_height=1.1)
    return (Words(text=text, letters=letters, align=Align.CENTRE, place="text"),)

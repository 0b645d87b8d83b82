"""The sizes of paper she may have in the printer."""

from __future__ import annotations

from enum import StrEnum


class Paper(StrEnum):
    """A size of paper, upright.

    Sizes: A4 is 210 mm × 297 mm (ISO 216); Letter is 8½ in × 11 in (ANSI/ASME Y14.1).
    """

    A4 = "A4"
    LETTER = "Letter"

    @property
    def typst_name(self) -> str:
        """The name Typst gives this size."""
        return {"A4": "a4", "Letter": "us-letter"}[self.value]

    @property
    def millimetres(self) -> tuple[float, float]:
        """Width and height [mm]."""
        return {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[self.value]

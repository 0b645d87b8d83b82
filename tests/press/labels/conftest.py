"""Labels to print, and ways to read a sheet of them back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import numpy as np
import pymupdf
import pytest
from numpy.typing import NDArray

from rushlight.hazard.label import Label as HazardLabel
from rushlight.hazard.label import Said
from rushlight.hazard.law import Law
from rushlight.hazard.pictograms import Sign
from rushlight.hazard.sizes import sizes
from rushlight.hazard.statements import Language, statement, word
from rushlight.press.labels.design import Label, Outline, Shape
from rushlight.press.labels.front import Front
from rushlight.press.labels.printing import render
from rushlight.press.labels.sheet import Sheet
from rushlight.press.paper import Paper
from rushlight.quantity.si import CubicMetre

DAY = dt.date(2026, 5, 2)
POINT = 25.4 / 72  # mm; a PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)
Pixels = NDArray[np.uint8]


class Read:
    """A PDF of labels, read back; lengths in mm."""

    def __init__(self, pdf: bytes) -> None:
        """Open the bytes."""
        self.bytes = pdf
        self.pages: Any = pymupdf.open(stream=pdf, filetype="pdf")  # type: ignore[no-untyped-call]

    @property
    def words(self) -> str:
        """All text on one line, without places to break."""
        text = " ".join(page.get_text() for page in self.pages)
        return " ".join(text.replace("\u200b", "").split())

    def spans(self, page: int = 0) -> list[dict[str, Any]]:
        """Return the runs of text of a page."""
        blocks = self.pages[page].get_text("dict")["blocks"]
        return [
            span for block in blocks for line in block.get("lines", ()) for span in line["spans"]
        ]

    def boxes(self, page: int = 0) -> list[tuple[float, float, float, float]]:
        """Return the boxes around all drawings of a page: x0, y0, x1, y1."""
        return [
            tuple(side * POINT for side in drawing["rect"])
            for drawing in self.pages[page].get_drawings()
        ]

    def raster(self, page: int = 0, *, dpi: int = 300) -> Pixels:
        """Return a page as grey pixels."""
        pixels = self.pages[page].get_pixmap(dpi=dpi, colorspace=pymupdf.csGRAY, alpha=False)
        return np.frombuffer(pixels.samples, np.uint8).reshape(pixels.height, pixels.stride)


@pytest.fixture
def outline() -> Outline:
    """Return a label of common size."""
    return Outline(width=63.5, height=72.0)


@pytest.fixture
def round_outline() -> Outline:
    """Return a round label."""
    return Outline(width=60.0, height=60.0, shape=Shape.ROUND)


def sheet_for(outline: Outline, **changed: Any) -> Sheet:
    """Return a sheet of four for a label."""
    grid = {
        "columns": 2,
        "rows": 2,
        "left": 12.0,
        "top": 18.0,
        "pitch_x": outline.width + 3.0,
        "pitch_y": outline.height + 4.0,
    }
    return Sheet(outline=outline, **(grid | changed))


@pytest.fixture
def printed() -> Callable[..., Read]:
    """Return a printer: labels, and changes to the sheet of four."""

    def make(*labels: Label, paper: Paper = Paper.A4, **changed: Any) -> Read:
        sheet = sheet_for(labels[0].outline, **changed)
        return Read(render(labels, sheet, paper, created=DAY))

    return make


@pytest.fixture
def said() -> Callable[..., HazardLabel]:
    """Return a maker of what a hazard label says: a skin sensitiser, toxic to water life."""

    def make(
        language: Language = Language.EN,
        *,
        law: Law = Law.EU,
        capacity: CubicMetre | None = CubicMetre(0.25e-3),
        codes: tuple[str, ...] = ("GHS07", "GHS09"),
    ) -> HazardLabel:
        def lines(*those: str) -> tuple[Said, ...]:
            return tuple(Said(code, statement(code, language), "a reason") for code in those)

        return HazardLabel(
            law=law,
            language=language,
            pictograms=tuple(Sign(code, "a reason") for code in codes),
            signal=word("Warning", language),
            names=("Linalool", "Citral"),
            hazards=lines("H317", "H411"),
            precautions=lines("P101", "P102", "P261", "P302+P352", "P333+P313", "P501"),
            supplemental=(),
            omitted=(),
            dropped=(),
            sizes=sizes(capacity, law) if capacity else None,
            duties=("A safety data sheet for customers in the trade.",),
        )

    return make


NEAR = 0.1  # mm


def front(outline: Outline, **changed: Any) -> Label:
    """Return a front label."""
    asked = {"name": "Slipway", "net": "Net Wt 8 oz (226 g)", "kind": "Scented candle"}
    return Front(**(asked | changed)).label(outline)

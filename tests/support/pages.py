"""A PDF read back: its words, its letters in their places, what it complains of."""

import io
from collections.abc import Iterator
from typing import Any

POINT = 25.4 / 72  # mm; a PDF point is 1/72 in (ISO 32000-1, 8.3.2.3)
BREAK = "\u200b"  # a place where a long word may break; leaves no ink


class Pages:
    """The pages of a PDF as pymupdf reads them; opening it may warn of nothing."""

    def __init__(self, pdf: bytes) -> None:
        """Open the bytes, and fail on any warning."""
        import pymupdf

        tools: Any = pymupdf.TOOLS
        tools.reset_mupdf_warnings()
        self.bytes = pdf
        self.pages: Any = pymupdf.open(stream=pdf, filetype="pdf")  # type: ignore[no-untyped-call]
        self.words = " ".join(" ".join(self.texts).replace(BREAK, "").split())
        assert not tools.mupdf_warnings()

    @property
    def texts(self) -> list[str]:
        """The text of each page."""
        return [page.get_text() for page in self.pages]

    @property
    def sizes(self) -> set[tuple[float, float]]:
        """The sizes of the pages [mm], to a tenth."""
        return {
            (round(page.rect.width * POINT, 1), round(page.rect.height * POINT, 1))
            for page in self.pages
        }

    def letters(self) -> Iterator[tuple[str, Any, float]]:
        """Yield every letter that leaves ink, its box [pt], and the width of its page [pt]."""
        for page in self.pages:
            for block in page.get_text("rawdict")["blocks"]:
                for line in block.get("lines", ()):
                    for span in line["spans"]:
                        for letter in span["chars"]:
                            if letter["c"].strip(f"{BREAK} \u00a0"):
                                yield letter["c"], letter["bbox"], page.rect.width

    def assert_within_margins(self, margin: float = 17.0) -> None:
        """Fail on a letter beyond the side margins [mm]."""
        for letter, (x0, _, x1, _), wide in self.letters():
            assert margin / POINT - 1 <= x0 <= x1 <= wide - margin / POINT + 1, letter

    @property
    def title(self) -> str:
        """The title that the file itself carries."""
        import pypdf

        about = pypdf.PdfReader(io.BytesIO(self.bytes)).metadata
        return (about.title if about else None) or ""

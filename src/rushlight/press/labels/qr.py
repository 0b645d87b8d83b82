"""A QR code as runs of dark squares."""

from __future__ import annotations

from functools import cache
from itertools import groupby

from rushlight.errors import BadInput

QUIET = 4
"""Empty squares around the code (ISO/IEC 18004; from memory)."""
LEAST_MODULE = 0.33
"""Smallest square [mm] that an office printer draws and a telephone reads (common practice)."""


@cache
def matrix(text: str) -> tuple[tuple[int, ...], ...]:
    """Return the squares of the code, 1 for dark, without the quiet zone.

    Error correction level M: a sixth of it may be scratched. Raises BadInput when the
    text is empty or longer than a code can hold.
    """
    import segno

    if not text:
        raise BadInput.one("A QR code needs a text.", "Type what a scanner is to read.")
    try:
        made = segno.make_qr(text, error="m", boost_error=False)
    except (segno.DataOverflowError, ValueError) as error:
        raise BadInput.one(
            f"A text of {len(text)} characters is longer than a QR code holds.",
            "Shorten it, or point to a page that says the rest.",
        ) from error
    return tuple(tuple(1 if square else 0 for square in row) for row in made.matrix)


def side(text: str, module: float) -> float:
    """Return the side of the code with its quiet zone [mm]."""
    return (len(matrix(text)) + 2 * QUIET) * module


def runs(text: str) -> list[tuple[int, int, int]]:
    """Return the dark runs as column, row, length, with the quiet zone counted in."""
    found = []
    for y, row in enumerate(matrix(text)):
        for dark, run in groupby(enumerate(row), key=lambda pair: pair[1]):
            columns = [x for x, _ in run]
            if dark:
                found.append((columns[0] + QUIET, y + QUIET, len(columns)))
    return found

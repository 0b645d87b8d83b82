"""QR codes as runs of squares."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.press.labels import qr


@given(st.text(min_size=1, max_size=60))
def test_the_runs_draw_the_dark_squares_and_no_others(text: str) -> None:
    """With four empty squares on every side (ISO/IEC 18004, from memory)."""
    matrix = qr.matrix(text)
    drawn = {(x + step, y) for x, y, long in qr.runs(text) for step in range(long)}
    dark = {
        (x + 4, y + 4) for y, row in enumerate(matrix) for x, square in enumerate(row) if square
    }
    assert drawn == dark
    assert qr.side(text, 0.5) == pytest.approx((len(matrix) + 8) * 0.5)


@pytest.mark.parametrize("text", ["", "x" * 3000])
def test_what_no_code_holds_is_refused(text: str) -> None:
    """2331 bytes is the most at level M (ISO/IEC 18004, from memory)."""
    with pytest.raises(BadInput):
        qr.matrix(text)

"""Widths without a browser: never less than the faces have, and texts cut to their room."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight import press
from rushlight.web.drawing.lettering import SERIF, WIDTHS, fitted, shown, width, wrapped

FONTS = Path(press.__file__).parent / "fonts"
SANS, SERIFS = ("SourceSans3-Regular", "SourceSans3-Semibold"), ("SourceSerif4-Regular",)
CODE = "0123456789-MS"  # what a lot's or an order's code is made of


@cache
def face(name: str) -> Any:
    """Return a vendored font file."""
    from fontTools.ttLib import TTFont

    return TTFont(FONTS / f"{name}.ttf")


def advance(name: str, letter: str) -> float | None:
    """Return a letter's width in a font file, in sizes; None where it has none."""
    font = face(name)
    glyph = font.getBestCmap().get(ord(letter))
    return font["hmtx"][glyph][0] / font["head"].unitsPerEm if glyph else None


def test_the_table_is_no_narrower_than_the_faces_and_no_vaguer_than_a_twentieth() -> None:
    """Every letter, in both cuts of the sans, from the font files."""
    for letter, said in WIDTHS.items():
        widest = max(advance(name, letter) or 0.0 for name in SANS)
        assert widest <= said < widest + 0.05 + 1e-9, letter


def test_letters_with_signs_over_them_are_as_wide_as_without() -> None:
    """All that the faces hold of Latin with accents."""
    for letter in map(chr, range(0xC0, 0x180)):
        for name in SANS:
            assert (advance(name, letter) or 0.0) <= width(letter, 1.0), letter


def test_a_code_in_the_serif_keeps_to_its_allowance() -> None:
    """Codes are set in the serif, at a quarter more."""
    for letter in CODE:
        assert (advance(SERIFS[0], letter) or 9.9) <= SERIF * width(letter, 1.0)


def test_what_turns_a_line_round_or_cannot_be_seen_goes() -> None:
    """Overrides, controls, surrogates, and what XML cannot hold."""
    assert shown(" a\u202eb\u0000\ud800\ufffe\u2066c\n\td ") == "abc d"


@given(st.text(max_size=80), st.floats(20, 300), st.floats(8, 20))
def test_a_fitted_text_keeps_to_its_room(text: str, room: float, size: float) -> None:
    """Cut with an ellipsis, or whole."""
    made = fitted(text, size, room)
    assert width(made, size) <= room + 1e-9
    assert made == text or (made.endswith("…") and text.startswith(made[:-1]))


@given(st.text(max_size=120), st.floats(30, 300), st.integers(1, 4))
def test_wrapped_lines_keep_to_their_room_and_number(text: str, room: float, most: int) -> None:
    """And nothing is lost without an ellipsis."""
    lines = wrapped(text, 15.0, room, most)
    assert len(lines) <= most
    assert all(width(line, 15.0) <= room + 1e-9 for line in lines)
    if not (lines and lines[-1].endswith("…")):
        assert "".join(lines).replace(" ", "") == "".join(text.split())


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Soy container wax", ("Soy container", "wax")),
        ("Unbelievablylongname", ("Unbelievablyl", "ongname")),
        ("", ()),
    ],
)
def test_words_break_between_words_where_they_can(text: str, lines: tuple[str, ...]) -> None:
    """A word that is too long breaks within."""
    assert wrapped(text, 15.0, 100.0, 2) == lines

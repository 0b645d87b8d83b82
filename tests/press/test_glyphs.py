"""Text that the vendored fonts can print."""

from __future__ import annotations

import sys
from itertools import chain
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from rushlight.press.glyphs import (
    BREAK,
    COVERAGE,
    STAND_IN,
    has_glyph,
    printable,
    shortened,
)

FONTS = COVERAGE.parent


def faces() -> list[set[int]]:
    """Return the characters of each vendored face, as fontTools reads them."""
    return [set(TTFont(path).getBestCmap()) for path in sorted(Path(FONTS).glob("*.ttf"))]


def test_the_coverage_file_says_what_the_fonts_hold() -> None:
    """After a change of fonts, `python tools/font_coverage.py` writes it anew."""
    common = set.intersection(*faces())
    assert len(common) > 500
    every = chain(range(sys.maxunicode + 1))
    assert {code for code in every if has_glyph(chr(code))} == common


@given(st.text(max_size=80))
def test_every_character_of_printable_text_can_be_printed(text: str) -> None:
    """Whatever was typed: controls, scripts without a glyph, lone surrogates."""
    assert all(has_glyph(character) for character in printable(text))


@given(st.text(alphabet="abcé ½°–", max_size=60))
def test_text_the_fonts_have_stays_as_it_is(text: str) -> None:
    """Only spaces are joined, and places to break are put into long runs."""
    assert printable(text).replace(BREAK, "") == " ".join(text.split())


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("42\u00a0285\u00a0g of wax", "42\u00a0285\u00a0g of wax"),
        ("8\u202foz, 8\u2007oz", "8\u202foz, 8\u2007oz"),
        ("\u00a08\u00a0\u202foz\u00a0", "8\u00a0oz"),
        ("8\u00a0 oz", "8 oz"),
        ("as\u00a0long\u00a0as\u00a0a\u00a0column", "as long as a column"),
        ("Kerze 🕯️ am See", f"Kerze {STAND_IN} am See"),
        ("\u202egnp.exe", "gnp.exe"),
        ("two\nlines\tand\x07 a bell", "two lines and a bell"),
        ("cafe\u0301", "café"),
        ("לוח", STAND_IN * 3),
        ("\ud800", STAND_IN),
    ],
)
def test_what_the_fonts_lack_is_shown_by_a_stand_in(typed: str, printed: str) -> None:
    """A gap would hide that something was there; an override could turn a line round."""
    assert printable(typed) == printed


def test_a_long_run_may_be_broken_without_losing_a_letter() -> None:
    """A name of 300 letters has to fit a column."""
    printed = printable("x" * 300)
    assert printed.replace(BREAK, "") == "x" * 300
    assert max(map(len, printed.split(BREAK))) < 20


@given(st.text(min_size=1, max_size=200), st.integers(min_value=1, max_value=80))
def test_shortened_text_is_never_longer_than_asked(text: str, longest: int) -> None:
    """And a text that is short enough is not touched."""
    cut = shortened(text, longest=longest)
    assert len(cut) <= longest
    assert cut == text or cut.endswith("…")

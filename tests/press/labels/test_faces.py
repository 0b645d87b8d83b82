"""The measures of the vendored faces."""

from __future__ import annotations

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from rushlight.press.labels.faces import Face
from rushlight.press.typeset import FONTS


@pytest.mark.parametrize("face", list(Face))
def test_the_measures_of_a_face_are_those_of_its_file(face: Face) -> None:
    """A lower-case x, an H, the lowest figure and the ℮, as fractions of the size."""
    cut = face.cut
    font = TTFont(FONTS / cut.file)
    glyphs, characters = font.getGlyphSet(), font.getBestCmap()
    em = int(font["head"].unitsPerEm)

    def height(character: str, *, foot: bool = False) -> float:
        pen = BoundsPen(glyphs)
        glyphs[characters[ord(character)]].draw(pen)
        return float(pen.bounds[3] - (pen.bounds[1] if foot else 0)) / em

    assert cut.x_height == pytest.approx(font["OS/2"].sxHeight / em, abs=5e-4)
    assert cut.capital == pytest.approx(height("H"), abs=5e-4)
    # a figure stands on the line: what overshoots below it is not counted
    assert cut.figure <= min(height(figure) for figure in "0123456789")
    assert cut.estimated == pytest.approx(height("℮", foot=True), abs=1e-3)


@pytest.mark.parametrize("face", list(Face))
def test_no_lower_case_o_is_lower_than_the_x(face: Face) -> None:
    """16 CFR 500.21 measures mixed letters by the o (from memory): the x is on the safe side."""
    font = TTFont(FONTS / face.cut.file)
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord("o")]].draw(pen)
    assert pen.bounds[3] / font["head"].unitsPerEm >= face.cut.x_height

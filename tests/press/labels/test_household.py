"""The caution on a US household candle, read back from the paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from rushlight.errors import BadInput
from rushlight.hazard.mixture import of_parts
from rushlight.hazard.us_caution import UsCaution, caution
from rushlight.hazard.us_consumer import type_sizes, us_consumer
from rushlight.press.glyphs import COVERAGE
from rushlight.press.labels import fit
from rushlight.press.labels.design import Frame, Outline, Words
from rushlight.press.labels.household import Household

from .conftest import POINT, Read

Printed = Callable[..., Read]
INCH = 25.4  # mm, exact (NIST Handbook 44, Appendix C)
SQUARE_INCH = 0.0254**2
MAKER = "The Boathouse, 1 Nowhere Reach, Rockland, ME 04841"


@pytest.fixture
def said() -> UsCaution:
    """Return what is said of a sensitiser that irritates the eyes too."""
    return caution(
        us_consumer(of_parts("c", [])),
        chosen=("sensitizer", "eye irritant"),
        components=("Linalool", "Citral"),
    )


@pytest.fixture
def household(said: UsCaution) -> Household:
    """Return the label on a jar whose panel is 13.19 in²."""
    types = type_sizes(13.19 * SQUARE_INCH)
    return Household(said=said, maker=MAKER, product="Slipway", types=types)


def capital(font: str) -> float:
    """Return the height of the H of a vendored face, as drawn, as a share of its size."""
    face = TTFont(next(COVERAGE.parent.glob(f"{font.rsplit('+', maxsplit=1)[-1]}.ttf")))
    pen = BoundsPen(face.getGlyphSet())
    face.getGlyphSet()[face.getBestCmap()[ord("H")]].draw(pen)
    return float(pen.bounds[3]) / float(face["head"].unitsPerEm)


def test_all_elements_are_printed_in_their_order(
    printed: Printed, outline: Outline, household: Household
) -> None:
    """15 USC 1261(p)(1), from memory: none is lost, none stands before its place."""
    read = printed(household.label(outline))
    elements = (
        *("Slipway", "WARNING", "MAY CAUSE ALLERGIC SKIN REACTION. EYE IRRITANT."),
        *("Contains: Linalool, Citral.", "Avoid contact with skin.", "FIRST AID: If on skin"),
        *("KEEP OUT OF REACH OF CHILDREN.", MAKER),
    )
    places = [read.words.index(element) for element in elements]
    assert places == sorted(places)


@pytest.mark.parametrize(
    ("area", "inches"),  # 16 CFR 1500.121, from memory: signal word, principal hazard, other
    [
        (4.0, (1 / 16, 3 / 64, 3 / 64)),
        (13.19, (7 / 64, 3 / 32, 1 / 16)),
        (31.0, (5 / 32, 7 / 64, 3 / 32)),
    ],
)
def test_the_capitals_on_paper_are_as_high_as_the_panel_asks(
    printed: Printed, household: Household, area: float, inches: tuple[float, float, float]
) -> None:
    """By the size in the PDF and the drawing of the H in the font file itself."""
    outline = Outline(width=99.1, height=93.1)
    types = type_sizes(area * SQUARE_INCH)
    read = printed(replace(household, types=types).label(outline), columns=1, rows=1)
    heights: dict[str, float] = {}
    for span in read.spans():
        for place, start in (("signal", "WARN"), ("hazard", "MAY CA"), ("other", "Contains")):
            if span["text"].startswith(start):
                heights[place] = span["size"] * POINT * capital(span["font"])
    least = [inch * INCH for inch in inches]
    found = [heights[place] for place in ("signal", "hazard", "other")]
    assert found == pytest.approx(least, abs=0.005)


def test_the_ink_of_the_signal_word_is_that_high(
    printed: Printed, outline: Outline, household: Household
) -> None:
    """7/64 in on the paper at 1200 dpi; round letters overshoot by a little."""
    label = replace(replace(household, product="").label(outline), frame=Frame.NONE)
    picture = printed(label).raster(dpi=1200)
    dots = 1200 / INCH
    box = picture[int(18 * dots) : int(88 * dots), int(12 * dots) : int(75 * dots)]
    inked = np.any(box < 128, axis=1)
    first = int(np.argmax(inked))
    high = int(np.argmin(inked[first:])) / dots
    assert 7 / 64 * INCH - 0.02 <= high <= 7 / 64 * INCH * 1.06


@pytest.mark.parametrize("scale", [0.95, 0.5])
def test_smaller_letters_name_the_rule_they_break(
    outline: Outline, household: Household, scale: float
) -> None:
    """Each text its own line of the table."""
    with pytest.raises(BadInput) as bad:
        fit.check(replace(household, scale=scale).label(outline))
    said = {problem.place: problem.what for problem in bad.value.problems}
    assert "16 CFR 1500.121: capitals of 7/64 in (from memory)" in said["caution.signal word"]
    assert "capitals of 3/32 in" in said["caution.principal hazard"]
    assert "capitals of 1/16 in" in said["caution.children"]


def test_text_without_room_names_the_rule_it_would_break(household: Household) -> None:
    """Never a silent shrink."""
    with pytest.raises(BadInput, match=r"below \d\.\d\d mm: 16 CFR 1500\.121: capitals of"):
        fit.check(household.label(Outline(width=50.0, height=30.0)))


def test_without_a_panel_the_label_is_taken_for_it(said: UsCaution, outline: Outline) -> None:
    """And that is told: a jar's panel is larger, and asks for larger type."""
    label = Household(said=said, maker=MAKER).label(outline)
    assert any("larger panel" in note for note in label.notes)
    assert any("from memory" in note for note in label.notes)
    signal = next(p for p in label.parts if isinstance(p, Words) and p.place == "signal word")
    # 63.5 × 72 mm is 7.09 in²: 3/32 in (16 CFR 1500.121, from memory)
    assert signal.letters.size * signal.letters.face.cut.capital == pytest.approx(3 / 32 * INCH)


def test_legible_is_the_least_even_where_the_rule_asks_for_less(said: UsCaution) -> None:
    """Capitals of 1/32 in (panel up to 2 in², from memory) would have an x of 0.59 mm."""
    label = Household(said=said, maker=MAKER, types=type_sizes(2 * SQUARE_INCH)).label(
        Outline(width=60.0, height=60.0)
    )
    assert min(p.letters.x_height for p in label.parts if isinstance(p, Words)) == 0.8


def test_a_round_label_is_centred_and_fits(round_outline: Outline, household: Household) -> None:
    """On a lid or a base, its lines reach to both sides of the circle."""
    large = replace(round_outline, width=100.0, height=100.0)
    fit.check(household.label(large))


def test_the_maker_must_stand_on_it(said: UsCaution, outline: Outline) -> None:
    """Name and place of business: 15 USC 1261(p)(1)(A), from memory."""
    with pytest.raises(BadInput, match="place of business"):
        Household(said=said, maker=" ").label(outline)

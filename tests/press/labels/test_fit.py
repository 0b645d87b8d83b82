"""What does not fit is told, never shrunk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from rushlight.errors import BadInput
from rushlight.hazard.label import Label as HazardLabel
from rushlight.press.labels import fit, preview
from rushlight.press.labels.codes import Barcode, QrCode
from rushlight.press.labels.design import (
    Bars,
    Frame,
    Label,
    Lettering,
    Outline,
    Row,
    Shape,
    Words,
)
from rushlight.press.labels.front import Front, Look
from rushlight.press.labels.gtin import Gtin
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.lot import Lot


def problem(*labels: Label) -> tuple[str, str]:
    """Return place and words of the one problem of some labels."""
    with pytest.raises(BadInput) as raised:
        fit.check(*labels)
    (only,) = raised.value.problems
    return only.place, f"{only.what} {only.remedy}"


def test_too_much_text_is_an_error_that_names_the_minimum_it_would_break(
    said: Callable[..., HazardLabel],
) -> None:
    """With the size at which it would fit, and the rule that forbids that size."""
    small = Outline(width=48.0, height=48.0)
    place, words = problem(Hazard(said=said(), product="Slipway").label(small))
    assert place == "hazard.height"
    assert "a label 48 × 48 mm has 43.0 mm inside its margins" in words
    assert "below 1.20 mm: CLP Annex I, 1.2.1.4, Table 1.3; Regulation (EU) 2024/2865" in words


def test_the_size_it_says_would_fit_does_fit(said: Callable[..., HazardLabel]) -> None:
    """Nothing above it, to the two per cent it looks in: the advice is measured, not guessed."""
    outline = Outline(width=63.5, height=72.0)
    hazard = Hazard(said=said(), product="Slipway", x_height=2.0)
    _, words = problem(hazard.label(outline))
    assert "It would fit with letters at" in words
    share = float(words.split("letters at ")[1].split("%")[0]) / 100
    fit.check(replace(hazard, x_height=2.0 * share).label(outline))
    problem(replace(hazard, x_height=2.0 * (share + 0.03)).label(outline))


def test_a_label_one_hundredth_too_low_is_refused_and_at_its_height_it_passes() -> None:
    """The limit is where the text ends: two lines of a known height."""
    letters = Lettering(x_height=2.0)
    words = Words(text="one two", letters=letters)
    high = 2 * 1.25 * letters.size  # two lines of 1.25 sizes
    narrow = Outline(width=15.0, height=high + 5.0)
    label = Label(name="test", outline=narrow, parts=(words,))
    fit.check(label)
    low = replace(label, outline=replace(narrow, height=high + 4.98))
    assert problem(low)[0] == "test.height"


def test_a_word_that_cannot_be_broken_is_named() -> None:
    """With its place."""
    outline = Outline(width=30.0, height=60.0)
    look = Look(name_x_height=6.0)
    place, words = problem(Front(name="Samphire", net="220 g", look=look).label(outline))
    assert place == "front.name"
    assert "“Samphire” is wider than its room" in words


@pytest.mark.parametrize(
    ("label", "what"),
    [
        (Barcode(digits="6291041500213"), "The barcode with its quiet zones"),
        (QrCode(said="x" * 200), "The QR code with its quiet zone"),
    ],
)
def test_a_code_wider_than_the_label_is_refused(label: Barcode | QrCode, what: str) -> None:
    """Smaller letters would not help, so nobody is sent that way."""
    words = problem(label.label(Outline(width=30.0, height=60.0)))[1]
    assert words.startswith(what)
    assert "smaller letters alone would not" in words


def test_a_code_beside_a_text_counts_too() -> None:
    """In a row, what is fixed keeps its width."""
    bars = Bars(gtin=Gtin("6291041500213"))
    row = Row(parts=(bars, Words(text="Samphire", place="beside")), gap=1.0)
    label = Label(name="row", outline=Outline(width=46.0, height=40.0), parts=(row,))
    assert problem(label)[0] == "row.beside"


def test_a_character_without_a_shape_is_an_error_on_a_label(outline: Outline) -> None:
    """A pour sheet may show a stand-in; what is sold may not."""
    place, words = problem(Front(name="Kerze 🕯", net="220 g").label(outline))
    assert place == "front.name"
    assert "U+1F56F" in words
    fit.check(Front(name="Œuvre ½ – Größe", net="220 g").label(outline))


def test_all_problems_of_all_labels_come_at_once(outline: Outline) -> None:
    """Not the first alone."""
    front = Front(name="Kerze 🕯", net="220 g", net_x_height=0.3).label(outline)
    lot = Lot(number="1", x_height=-1.0).label(outline)
    with pytest.raises(BadInput) as raised:
        fit.check(front, lot)
    places = [each.place for each in raised.value.problems]
    assert places == ["front.name", "front.net weight", "lot.lot"]


@pytest.mark.parametrize(
    ("outline", "place"),
    [
        (Outline(width=4.0, height=50.0), "width"),
        (Outline(width=50.0, height=float("nan")), "height"),
        (Outline(width=5000.0, height=50.0), "width"),
        (Outline(width=50.0, height=40.0, shape=Shape.ROUND), "height"),
    ],
)
def test_an_outline_no_label_has_is_refused(outline: Outline, place: str) -> None:
    """Before anything is set."""
    label = Label(name="odd", outline=outline, parts=(Words(text="x"),))
    assert problem(label)[0] == f"odd.{place}"


def test_a_frame_takes_room_of_its_own() -> None:
    """Text keeps clear of the line."""
    plain = Label(name="a", outline=Outline(width=30, height=30), parts=(Words(text="x"),))
    assert plain.margin == 2.5
    assert replace(plain, frame=Frame.DOUBLE).margin > replace(plain, frame=Frame.LINE).margin > 2.5


def test_a_preview_that_does_not_fit_is_refused_like_the_print() -> None:
    """What is shown is what would be printed."""
    with pytest.raises(BadInput):
        preview(Barcode(digits="6291041500213").label(Outline(width=20.0, height=20.0)))


def test_checking_nothing_is_fine() -> None:
    """No labels, no problems."""
    fit.check()


def test_a_size_is_said_to_a_tenth_of_a_millimetre() -> None:
    """As paper is cut: a strip around a jar has a length of many figures."""
    assert Outline(width=257.327, height=60.0).said == "257.3 × 60 mm"
    assert Outline(width=66.675, height=25.4).said == "66.7 × 25.4 mm"
    assert Outline(width=50.84, height=50.84, shape=Shape.ROUND).said == "round, 50.8 mm"

"""The usual labels: what stands on each, and what is refused."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

import pytest

from rushlight.errors import BadInput
from rushlight.hazard.label import Label as HazardLabel
from rushlight.hazard.law import Law
from rushlight.hazard.netcontents import declare, emark, panel
from rushlight.hazard.statements import Language
from rushlight.press.labels import fire, fit
from rushlight.press.labels.codes import Barcode, QrCode
from rushlight.press.labels.design import (
    TIE,
    Bars,
    Label,
    Outline,
    Pictograms,
    Row,
    Signs,
    Square,
    Words,
)
from rushlight.press.labels.fire import Style, Warn
from rushlight.press.labels.front import Front
from rushlight.press.labels.hazardous import Hazard
from rushlight.press.labels.lot import Lot
from rushlight.quantity.si import CubicMetre, Kilogram, Metre

T = TypeVar("T")
INCH = 25.4  # mm, exact (NIST Handbook 44, Appendix C)


def texts(label: Label) -> dict[str, str]:
    """Return the texts of a label by their place."""
    return {
        p.place: p.text.replace(TIE, " ") for p in fit.every(label.parts) if isinstance(p, Words)
    }


def words_at(label: Label, place: str) -> Words:
    """Return the words of a place."""
    return next(p for p in fit.every(label.parts) if isinstance(p, Words) and p.place == place)


def only(label: Label, kind: type[T]) -> T:
    """Return the one part of a kind."""
    found = [part for part in fit.every(label.parts) if isinstance(part, kind)]
    assert len(found) == 1
    return found[0]


# the fire-safety warning


@pytest.mark.parametrize("language", fire.languages())
def test_the_warning_fits_a_common_label_in_every_language(outline: Outline, language: str) -> None:
    """Alert sign and word first, then signs, then all messages."""
    label = Warn(language=language).label(outline)
    fit.check(label)
    first = label.parts[0]
    assert isinstance(first, Row)
    assert isinstance(first.parts[0], Signs)
    assert first.parts[0].names == ("warning",)
    assert isinstance(first.parts[1], Words)
    assert first.parts[1].text.isupper()
    said = fire.statements(fire.USUAL, language)
    assert len(set(said)) == len(fire.USUAL)
    assert all(each in texts(label)["fire safety"] for each in said)
    assert label.language == language


def test_a_core_message_cannot_be_left_out() -> None:
    """Within sight, things that catch fire, children and pets (ASTM F2058, from memory)."""
    with pytest.raises(BadInput, match="children and pets"):
        fire.statements(("sight", "burnable", "trim"), "en")


@pytest.mark.parametrize(("keys", "language"), [((*fire.CORE, "gnomes"), "en"), (fire.CORE, "xx")])
def test_an_unknown_statement_or_language_is_refused(keys: Sequence[str], language: str) -> None:
    """And what there is, is listed."""
    with pytest.raises(BadInput, match="hoose"):
        fire.statements(keys, language)


def test_the_wick_is_cut_to_what_the_candle_says() -> None:
    """In the maker's own unit."""
    assert "Trim the wick to 1/4 in before" in " ".join(
        fire.statements(fire.USUAL, "en", trim="1/4 in")
    )


def test_signs_below_five_millimetres_are_refused(outline: Outline) -> None:
    """EN 15494 (secondary source)."""
    with pytest.raises(BadInput, match=r"5\.00 mm: the least height of a safety sign"):
        fit.check(Warn(sign_height=4.9).label(outline))
    fit.check(Warn(sign_height=5.0).label(outline))


def test_signs_or_words_may_go_but_not_both(outline: Outline) -> None:
    """Each style shows what it says."""
    signs = Warn(style=Style.SIGNS).label(outline)
    words = Warn(style=Style.WORDS).label(outline)
    assert "fire safety" not in texts(signs)
    shown = [p.names for p in fit.every(words.parts) if isinstance(p, Signs)]
    assert shown == [("warning",)]
    drawn = [n for p in fit.every(signs.parts) if isinstance(p, Signs) for n in p.names]
    assert drawn == ["warning", *(f"fire-{key}" for key in fire.USUAL)]


# the hazard label


@pytest.mark.parametrize("language", list(Language))
def test_a_hazard_label_says_all_it_must_in_its_language(
    said: Callable[..., HazardLabel], language: Language
) -> None:
    """Nothing of the hazard label is lost on the way, in the order of Article 17 (from memory)."""
    outline = Outline(width=99.1, height=67.7)
    hazard = said(language)
    label = Hazard(
        said=hazard,
        product="Slipway",
        supplier="The Boathouse, 1 Quay. Tel. 01632 960001",
        quantity="220 g",
        ufi="VDU1-414F-1003-1862",  # ECHA's example of a UFI's shape (from memory)
    ).label(outline)
    fit.check(label)
    on_it = texts(label)
    assert list(on_it) == [
        "product",
        "names",
        "signal word",
        "hazard statements",
        "precautions",
        "quantity",
        "UFI",
        "supplier",
    ]
    for line in (*hazard.hazards, *hazard.precautions):
        assert line.text in on_it["hazard statements"] + on_it["precautions"]
    assert on_it["signal word"] == hazard.signal
    assert "Linalool, Citral" in on_it["names"]
    assert only(label, Pictograms).codes == ("GHS07", "GHS09")
    assert any("licensed practice decide" in note for note in label.notes)


@pytest.mark.parametrize(
    ("litres", "side", "x_height"),
    [(0.25, 10.0, 1.2), (2.0, 10.0, 1.4), (10.0, 23.0, 1.8)],
)
def test_pictogram_and_letters_are_as_large_as_the_table_asks(
    said: Callable[..., HazardLabel], litres: float, side: float, x_height: float
) -> None:
    """CLP Annex I, Table 1.3; letters by Regulation (EU) 2024/2865 (secondary source)."""
    large = Outline(width=105.0, height=148.0)
    hazard = said(capacity=CubicMetre(litres * 1e-3))
    label = Hazard(said=hazard, product="Slipway").label(large)
    fit.check(label)
    assert only(label, Pictograms).side == pytest.approx(side)
    heights = {p.letters.x_height for p in fit.every(label.parts) if isinstance(p, Words)}
    assert min(heights) == pytest.approx(x_height)
    with pytest.raises(BadInput, match=r"Table 1\.3") as raised:
        fit.check(
            Hazard(said=hazard, product="S", side=side - 0.1, x_height=x_height - 0.1).label(large)
        )
    places = [problem.place for problem in raised.value.problems]
    assert "hazard.pictograms" in places
    assert "hazard.hazard statements" in places


def test_great_britain_sets_no_height_of_letters(
    outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """Regulation (EU) 2024/2865 is not part of GB CLP (from memory)."""
    fit.check(Hazard(said=said(law=Law.GB), product="Slipway", x_height=1.0).label(outline))


def test_what_is_only_wished_for_is_a_remark(said: Callable[..., HazardLabel]) -> None:
    """Up to 3 l: 52 × 74 mm and 16 mm "if possible" (CLP Annex I, Table 1.3)."""
    small = Hazard(said=said(), product="Slipway").label(Outline(width=63.5, height=72.0))
    assert any("52 × 74 mm" in note for note in small.notes)
    assert any("16 mm" in note for note in small.notes)
    large = Hazard(said=said(), product="Slipway", side=16.0).label(Outline(width=80, height=74))
    assert not any("possible" in note for note in large.notes)


def test_a_label_below_the_size_the_law_fixes_is_refused(
    outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """Over 3 l it is 74 × 105 mm, without "if possible"; either way round."""
    hazard = Hazard(said=said(capacity=CubicMetre(4e-3)), product="Slipway")
    with pytest.raises(BadInput, match="74 × 105 mm"):
        hazard.label(outline)
    assert hazard.label(Outline(width=105.0, height=74.0)).parts


def test_a_candle_without_hazards_gets_no_hazard_label(
    outline: Outline, said: Callable[..., HazardLabel]
) -> None:
    """An empty label would look like a clean bill."""
    empty = replace(said(), hazards=(), pictograms=(), supplemental=())
    with pytest.raises(BadInput, match="no hazard label"):
        Hazard(said=empty, product="Slipway").label(outline)


# the front


@pytest.mark.parametrize(
    ("diameter", "height", "inches"),
    [
        (3.0, 3.5, "1/8"),  # 13.19 in² (16 CFR 500.21, worked by hand: 0.4 × 3.5 × 9.4248)
        (2.0, 1.9, "1/16"),  # 4.78 in²
        (4.0, 6.0, "3/16"),  # 30.2 in²
    ],
)
def test_the_net_weight_is_as_high_as_the_panel_asks(
    diameter: float, height: float, inches: str
) -> None:
    """Measured by the lower-case o, which is no lower than the x (16 CFR 500.21, from memory)."""
    area = panel.cylinder(Metre(diameter * 0.0254), Metre(height * 0.0254))
    least = panel.type_height(area)
    assert least.inches == inches
    net = declare.from_ounces(Decimal(8)).text
    outline = Outline(width=0.4 * 3.14159 * diameter * INCH, height=height * INCH)
    front = Front(name="Slipway", net=net, panel=least)
    declared = words_at(front.label(outline), "net weight")
    assert declared.letters.x_height >= float(least.height) * 1e3 - 1e-9
    low = replace(front, net_x_height=float(least.height) * 1e3 - 0.05)
    with pytest.raises(BadInput, match=r"16 CFR 500\.21"):
        fit.check(low.label(outline))


def test_capitals_are_measured_by_the_capital(outline: Outline) -> None:
    """An eighth of an inch of capital height is a smaller face (16 CFR 500.21, from memory)."""
    least = panel.type_height(panel.cylinder(Metre(0.076), Metre(0.089)))
    loud = words_at(Front(name="S", net="NET WT 8 OZ", panel=least).label(outline), "net weight")
    cut = loud.letters.face.cut
    assert loud.letters.size * cut.capital == pytest.approx(INCH / 8)
    mixed = words_at(Front(name="S", net="Net Wt 8 oz", panel=least).label(outline), "net weight")
    assert mixed.letters.size * cut.x_height == pytest.approx(INCH / 8)


def test_the_estimated_sign_and_its_figures_are_high_enough(outline: Outline) -> None:
    """76/211/EEC: 4 mm of figures over 200 g, ℮ at least 3 mm (from memory)."""
    marking = emark.marking(Kilogram(0.220))
    front = Front(name="Slipway", net="220 g ℮", marking=marking).label(outline)
    declared = words_at(front, "net weight")
    cut = declared.letters.face.cut
    assert declared.letters.size * cut.figure >= 4.0 - 1e-9
    assert declared.letters.size * cut.estimated >= 3.0
    fit.check(front)


def test_the_net_weight_stands_in_the_bottom_third(outline: Outline) -> None:
    """16 CFR 500.6: 30 % (from memory); what pushes it up is an error that says so."""
    least = panel.type_height(panel.cylinder(Metre(0.076), Metre(0.089)))
    front = Front(name="Slipway", net="Net Wt 8 oz (226 g)", panel=least)
    fit.check(front.label(outline))
    with pytest.raises(BadInput, match="bottom 30%"):
        fit.check(replace(front, name="S").label(Outline(width=63.5, height=36.0)))


def test_a_figure_and_its_unit_stay_on_one_line(outline: Outline) -> None:
    """A line may end between the two declarations, never before a unit or the ℮."""
    net = Front(name="S", net="Net Wt 1 lb 4 oz (566 g) ℮").label(outline)
    pieces = words_at(net, "net weight").text.split(" ")
    assert pieces == ["Net", "Wt", f"1{TIE}lb", f"4{TIE}oz", f"(566{TIE}g){TIE}℮"]
    assert any("2009/34/EC" in note for note in net.notes)


def test_a_front_without_a_net_weight_is_refused(outline: Outline) -> None:
    """A jar says what it holds."""
    with pytest.raises(BadInput, match="net weight"):
        Front(name="Slipway", net="  ").label(outline)


# lot and codes


def test_a_lot_label_carries_number_date_and_code(outline: Outline, round_outline: Outline) -> None:
    """On either shape."""
    lot = Lot(number="2026-05-02-A", date="2 May 2026", name="Slipway", code="LOT 2026-05-02-A")
    for shape in (outline, round_outline):
        label = lot.label(shape)
        fit.check(label)
        assert texts(label) == {
            "name": "Slipway",
            "lot": "Lot 2026-05-02-A",
            "date": "Poured 2 May 2026",
        }
        assert only(label, Square).text == "LOT 2026-05-02-A"
    with pytest.raises(BadInput, match="number"):
        Lot(number=" ").label(outline)


def test_a_number_typed_with_spaces_is_read(outline: Outline) -> None:
    """As it stands on a licence."""
    label = Barcode(digits="6 291041 500213").label(outline)
    assert only(label, Bars).gtin.digits == "6291041500213"
    assert label.notes == ()
    assert "in-house" in Barcode(digits="2000000000008").label(outline).notes[0]


@pytest.mark.parametrize("magnification", [0.79, 2.01, float("nan"), -1.0])
def test_bars_beyond_the_specification_are_refused(outline: Outline, magnification: float) -> None:
    """80 % to 200 % (GS1 General Specifications, from memory)."""
    with pytest.raises(BadInput, match="80% to 200%"):
        fit.check(Barcode(digits="96385074", magnification=magnification).label(outline))


def test_squares_too_small_to_read_are_refused(outline: Outline) -> None:
    """Below a third of a millimetre (common practice)."""
    with pytest.raises(BadInput, match="common practice"):
        fit.check(QrCode(said="x", module=0.2).label(outline))

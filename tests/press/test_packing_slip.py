"""The packing slip, read back from the PDF."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rushlight.press.packing_slip import PackedLine, PackingSlip, Picked, render
from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from tests.support.pages import Pages

SIZES = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}  # ISO 216; 8½ × 11 in
SLIP = PackingSlip(
    order="S33-1",
    created=dt.date(2026, 6, 5),
    buyer="The Harbour Shop",
    address=("3 Quay Street", "Rockland ME 04841"),
    house="The Boathouse",
    meta=(Fact("Placed", "2 June 2026"), Fact("Due", "9 June 2026")),
    lines=(
        PackedLine(
            candle="Slipway",
            jars=12,
            lots=(
                Picked(lot="260518-01-7", jars=8, said="poured 18 May 2026"),
                Picked(lot="260520-01-2", jars=4),
            ),
            contains="Soy container wax, 220 g each. Contains Linalool.",
            price="£8.00",
            sum="£96.00",
        ),
        PackedLine(
            candle="Lantern",
            jars=10,
            lots=(Picked(lot="260520-02-9", jars=6),),
            price="£9.50",
            sum="£95.00",
        ),
    ),
    note="Ring the bell.",
)


@pytest.mark.parametrize("paper", list(Paper))
def test_everything_on_the_slip_can_be_read_back(paper: Paper) -> None:
    """Order, buyer, dates, candles, jars, jar lots and what each contains, on either paper."""
    read = Pages(render(SLIP, paper=paper))
    assert read.sizes == {SIZES[paper]}
    assert len(read.texts) == 1
    for text in (
        *("Packing slip", "Order S33-1", "The Harbour Shop", "3 Quay Street", "Rockland ME 04841"),
        *("The Boathouse", "9 June 2026", "Ring the bell.", "Slipway", "Lantern"),
        *("8 × 260518-01-7", "poured 18 May 2026", "4 × 260520-01-2", "6 × 260520-02-9"),
        *("220 g each. Contains Linalool.", "All jars", "22", "Packed by"),
    ):
        assert text in read.words, text
    assert read.title == "Packing slip Order S33-1"
    read.assert_within_margins()


def test_what_is_still_to_be_picked_is_said() -> None:
    """Ten asked for and six in the box are not passed over."""
    words = Pages(render(SLIP, paper=Paper.A4)).words
    assert "4 still to be picked" in words
    assert words.count("still to be picked") == 1


def test_no_price_is_printed_unless_it_is_asked_for() -> None:
    """Not of a jar, not of a line; with a total, all of them."""
    bare = Pages(render(SLIP, paper=Paper.A4)).words
    assert "£" not in bare
    assert "Each" not in bare
    priced = Pages(render(replace(SLIP, total="£191.00"), paper=Paper.A4)).words
    for text in ("Each", "£8.00", "£96.00", "£9.50", "£95.00", "£191.00"):
        assert text in priced


def test_a_sale_without_a_buyer_says_so() -> None:
    """The slip has no empty place where a name should be."""
    assert "Sold over the counter" in Pages(render(replace(SLIP, buyer=""), paper=Paper.A4)).words


def test_a_long_order_goes_on_over_the_page() -> None:
    """Later pages repeat whose they are; the head of the table too."""
    lines = tuple(replace(SLIP.lines[0], candle=f"Candle {n}") for n in range(60))
    read = Pages(render(replace(SLIP, lines=lines), paper=Paper.LETTER))
    assert len(read.texts) > 2
    for at, text in enumerate(read.texts, start=1):
        assert f"Page {at} of {len(read.texts)}" in " ".join(text.split())
    assert all("From jar lots" in text for text in read.texts[:-1])
    assert all("Order S33-1" in text for text in read.texts)
    assert "720" in read.texts[-1]


HOSTILE = ["#panic()", "<script>alert(1)</script>", "$x^2$ *b* _i_ @ref <l>", "'; DROP TABLE x; --"]


@pytest.mark.parametrize("text", HOSTILE)
def test_what_was_typed_is_only_ever_text(text: str) -> None:
    """Letter for letter, wherever it stands."""
    line = replace(SLIP.lines[0], candle=text, contains=text)
    slip = replace(SLIP, order=text, buyer=text, address=(text,), note=text, lines=(line,))
    words = Pages(render(slip, paper=Paper.A4)).words
    assert words.replace(" ", "").count(text.replace(" ", "")) >= 6


@settings(max_examples=20)
@given(st.text(max_size=300), st.sampled_from(list(Paper)))
def test_any_text_at_all_can_be_printed(text: str, paper: Paper) -> None:
    """And stays within the margins."""
    line = PackedLine(
        candle=text, jars=2, lots=(Picked(lot=text[:30], jars=1, said=text),), contains=text,
        price=text[:20], sum=text[:20],
    )  # fmt: skip
    slip = replace(SLIP, order=text[:40], buyer=text, note=text, meta=(Fact(text, text),),
                   lines=(line,), total=text[:20])  # fmt: skip
    Pages(render(slip, paper=paper)).assert_within_margins()


def test_the_same_slip_gives_the_same_bytes() -> None:
    """Dated by the slip and not by the print."""
    assert render(SLIP, paper=Paper.A4) == render(SLIP, paper=Paper.A4)


def test_a_sign_without_a_glyph_is_explained() -> None:
    """At the foot; and nowhere where none is needed."""
    read = Pages(render(replace(SLIP, note="mind 🕯"), paper=Paper.A4)).words
    assert "mind ◊" in read
    assert "stands for a character" in read
    assert "stands for a character" not in Pages(render(SLIP, paper=Paper.A4)).words

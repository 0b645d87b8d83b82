"""The recall list, read back from the PDF."""

from __future__ import annotations

import datetime as dt
import time
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rushlight.press.paper import Paper
from rushlight.press.pour_sheet import Fact
from rushlight.press.recall_list import (
    UNKNOWN,
    Gone,
    NotSold,
    PackedInto,
    RecallList,
    StillHere,
    render,
)
from tests.support.pages import Pages

SIZES = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}  # ISO 216; 8½ × 11 in
LIST = RecallList(
    what="M1050-3, Tar and samphire",
    created=dt.date(2026, 6, 5),
    meta=(Fact("Supplier", "Saltmarsh Oils & Resins Ltd"), Fact("Their lot", "TS/2214")),
    material="640 g",
    here=(
        StillHere(lot="260518-01-7", candle="Slipway", poured="18 May 2026", jars=6,
                  place="held for S40-2"),
    ),
    gone=(
        Gone(buyer="The Harbour Shop", contact="shop@example.org", order="S33-1",
             day="5 Jun 2026", lot="260518-01-7", candle="Slipway", jars=12),
        Gone(buyer="", order="S31-5", day="2 Jun 2026", lot="260520-01-2", candle="Lantern",
             jars=4),
    ),
    not_sold=(NotSold(lot="260518-01-7", candle="Slipway", day="3 Jun 2026", jars=1,
                      fate="broken"),),
)  # fmt: skip


@pytest.mark.parametrize("paper", list(Paper))
def test_everything_on_the_list_can_be_read_back(paper: Paper) -> None:
    """Each jar lot with where its jars are: here, sold to whom with order and date, or neither."""
    read = Pages(render(LIST, paper=paper))
    assert read.sizes == {SIZES[paper]}
    for text in (
        *("Recall list", "M1050-3, Tar and samphire", "Saltmarsh Oils & Resins Ltd", "TS/2214"),
        *("held for S40-2", "18 May 2026", "The Harbour Shop", "shop@example.org", "S33-1"),
        *("5 Jun 2026", "S31-5", "260520-01-2", "broken", "3 Jun 2026", "640 g", UNKNOWN),
    ):
        assert text in read.words, text
    read.assert_within_margins()


def test_the_jars_add_up_at_the_head() -> None:
    """6 here, 16 sold, 1 broken: 23 touched."""
    words = Pages(render(LIST, paper=Paper.A4)).words
    assert "Jars touched 23" in words
    assert "Still here 6" in words
    assert "Sold 16" in words
    assert "Given, broken, tested 1 " in words


def test_what_to_do_is_left_to_law_and_to_her() -> None:
    """The list says what it knows, and who decides; it clears nothing."""
    words = Pages(render(LIST, paper=Paper.A4)).words
    assert "is for local law, the supplier's notice and your own judgement to decide" in words
    assert "licensed practice decide" in words
    assert not {"complies", "compliant", "safe"} & set(words.lower().split())


def test_a_part_without_jars_says_none() -> None:
    """An empty place could be a fault of the print."""
    words = Pages(
        render(RecallList(what="260518-01-7", created=LIST.created), paper=Paper.A4)
    ).words
    assert words.count("None.") == 3
    assert "Sold Tick when told None." in words, "under the name of the part"
    assert "Neither here nor sold None." in words
    assert "Jars touched 0" in words
    assert "Left of the material" not in words


def test_of_packaging_only_who_has_it_is_told() -> None:
    """No jar is made of it: no figure and no empty part suggests that one was looked for."""
    lines = tuple(
        PackedInto(buyer=buyer, contact=contact, order=order, day="4 Jun 2026", lot="M60-2",
                   candle="Slipway", jar_lots="260518-01-7", pieces=6)
        for buyer, contact, order in (("Harbour Shop", "shop@example.org", "S33-1"),
                                      ("", "", "S31-5"))
    )  # fmt: skip
    what = RecallList(what="M60-2, Kraft carton", created=LIST.created, packed=lines)
    words = Pages(render(what, paper=Paper.A4)).words
    for text in ("Orders packed in it 2", "Pieces 12", "Packed in it", "shop@example.org", UNKNOWN):
        assert text in words, text
    assert words.count("260518-01-7") == 2
    assert "None." not in words
    assert "Jars touched" not in words
    both = Pages(render(replace(LIST, packed=lines), paper=Paper.A4)).words
    assert "Jars touched 23" in both
    assert "Packed in it" in both


def test_a_long_list_repeats_its_heads_and_loses_no_row() -> None:
    """Every order once, over all the pages."""
    gone = tuple(replace(LIST.gone[0], order=f"S{n:04}-1") for n in range(300))
    read = Pages(render(replace(LIST, gone=gone), paper=Paper.LETTER))
    assert len(read.texts) > 4
    assert all(read.words.count(one.order) == 1 for one in gone)
    assert all("Buyer" in text for text in read.texts[1:-1])
    assert all("M1050-3" in text for text in read.texts)


def _sold(rows: int, *, first: int, each: int = 1) -> RecallList:
    """Return a list of so many rows, the orders counted from first; each buyer has so many."""
    gone = tuple(
        replace(LIST.gone[0], order=f"S{n}-1", buyer=f"Shop {n // each}")
        for n in range(first, first + rows)
    )
    return replace(LIST, gone=gone)


def test_a_list_of_500_rows_is_set_within_a_second() -> None:
    """The best of three, so that a busy machine is no failure; each list is a new one."""

    def once(first: int) -> float:
        start = time.perf_counter()
        render(_sold(500, first=first), paper=Paper.A4)
        return time.perf_counter() - start

    assert min(once(first) for first in (0, 1_000, 2_000)) < 1.0


def test_ten_times_the_rows_take_no_more_than_about_ten_times_as_long() -> None:
    """In processor time, the best of two: a list that grew with the square would take forty."""

    def best(rows: int, first: int) -> float:
        taken = []
        for again in (0, 50_000):
            start = time.process_time()
            render(_sold(rows, first=first + again), paper=Paper.A4)
            taken.append(time.process_time() - start)
        return min(taken)

    render(LIST, paper=Paper.A4)
    assert best(4_000, 100_000) < 20 * best(400, 200_000)


def test_a_buyer_of_many_rows_is_named_on_every_page() -> None:
    """A row never stands alone at the head of a page, its buyer on the one before."""
    read = Pages(render(_sold(100, first=0, each=100), paper=Paper.A4))
    assert len(read.texts) >= 3
    assert all("Shop 0" in text for text in read.texts[:-1])
    assert read.words.count("Shop 0, continued") == 4
    assert read.words.count("1,200 jars") == 1


def test_a_part_that_begins_a_page_has_no_heads_of_another() -> None:
    """The heads at the top of a page are those of the part that goes on there, and of no other."""
    for rows in range(36, 40):  # at one of these the next part begins a page
        here = tuple(replace(LIST.here[0], jars=n + 1) for n in range(rows))
        for text in Pages(render(replace(LIST, here=here, gone=()), paper=Paper.A4)).texts[1:]:
            above = text.partition("Sold")[0]
            assert ("Where, and when poured" in above) == ("held for" in above)


@settings(max_examples=15)
@example("\u202e")
@given(st.text(max_size=200) | st.sampled_from(["#panic()", "<script>", "W" * 90]))
def test_any_text_at_all_can_be_printed(text: str) -> None:
    """And stays within the margins."""
    made = RecallList(
        what=text,
        created=LIST.created,
        meta=(Fact(text, text),),
        material=text,
        here=(StillHere(lot=text, candle=text, poured=text, jars=1, place=text),),
        gone=(replace(LIST.gone[0], buyer=text, contact=text, order=text, day=text, lot=text),),
        not_sold=(NotSold(lot=text, candle=text, day=text, jars=1, fate=text),),
    )
    Pages(render(made, paper=Paper.LETTER)).assert_within_margins()

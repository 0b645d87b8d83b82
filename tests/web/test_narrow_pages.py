"""The stores on a phone: broad tables stand row by row, a long thread opens where it was asked."""

from __future__ import annotations

import re
from html import unescape
from typing import TYPE_CHECKING

import httpx
import pytest

from rushlight.workshop import Workshop
from rushlight.workshop.stores import jars, trace

if TYPE_CHECKING:
    from playwright.sync_api import Page

WIDE = """() => [...document.querySelectorAll('.ledger')]
    .filter(frame => frame.scrollWidth > frame.clientWidth)
    .map(frame => frame.getAttribute('aria-label'))"""
SPILLED = """() => [...document.querySelectorAll('.stacks :is(tbody, tfoot) > tr > *')]
    .filter(cell => cell.checkVisibility() && cell.scrollWidth > cell.clientWidth + 1)
    .map(cell => cell.textContent)"""
SHORTER = {"Packaging in it": "Of which packaging"}
"""Headings that are said in fewer words where there is little room."""


@pytest.fixture
def places(workshop: Workshop) -> tuple[str, ...]:
    """Return the pages with broad tables; a lot of wax, of cartons, a jar's lot and an order."""
    (carton,) = trace.find(workshop, "KC-14").hits
    oldest = jars.listing(workshop, candle="slipway")[0].code
    traced = ("M35-9", carton.code, oldest, "S4-3")
    lists = (f"/trace/{code}/recall" for code in traced[:3])
    return (*(f"/trace/{code}" for code in traced), *lists, "/margins", "/pours/1")


@pytest.mark.parametrize("width", [390, 320])
def test_no_table_of_the_stores_scrolls_sideways_on_a_phone(
    page: Page, places: tuple[str, ...], width: int
) -> None:
    """Rows stand one under another; a screen reader still finds a table of rows and cells."""
    page.set_viewport_size({"width": width, "height": 844})
    for place in places:
        page.goto(place)
        assert not page.evaluate(WIDE), place
        assert not page.evaluate(SPILLED), place
        table = page.locator("table.stacks").first
        assert table.get_by_role("row").count() > 1, place
        assert table.get_by_role("rowheader").first.is_visible(), place


def test_on_a_wide_screen_the_same_tables_have_their_columns(
    page: Page, places: tuple[str, ...]
) -> None:
    """One line of headings, the cells of a row side by side."""
    for place in places:
        page.goto(place)
        table = page.locator("table.stacks").first
        assert table.get_by_role("columnheader").first.is_visible()
        cells = table.locator("tbody tr").first.locator("td")
        tops = cells.evaluate_all("found => found.map(c => c.parentElement.offsetTop)")
        assert len(set(tops)) == 1
        lefts = cells.evaluate_all("found => found.map(c => c.getBoundingClientRect().left)")
        assert lefts == sorted(set(lefts)), place


def test_every_cell_bears_the_heading_of_its_column(
    client: httpx.Client, places: tuple[str, ...]
) -> None:
    """What a phone shows over a figure is what stands over its column."""
    borne = 0
    for place in places:
        text = client.get(place).text
        for table in re.findall(
            r'<table[^>]*class="[^"]*stacks[^"]*">.*?</table>', text, re.DOTALL
        ):
            heads = [unescape(h) for h in re.findall(r'<th scope="col"[^>]*>(.*?)</th>', table)]
            body = table[table.index("<tbody>") : table.index("</tbody>")]
            for row in re.findall(r"<tr>.*?</tr>", body, re.DOTALL):
                cells = re.findall(r"<t[hd]\b([^>]*)>", row)
                assert len(cells) == len(heads) or "colspan" in row, place
                for cell, head in zip(cells, heads, strict=False):
                    said = re.search(r'data-head="([^"]*)"', cell)
                    if said and "colspan" not in row:
                        assert SHORTER.get(said[1], said[1]) == head, place
                        borne += 1
    assert borne > 100


def test_a_long_thread_opens_on_the_jar_that_was_asked_for(page: Page, workshop: Workshop) -> None:
    """On the first screen of a phone; the table begins within the second."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"/trace/{jars.listing(workshop, candle='slipway')[0].code}")
    whole = page.locator("svg.yarn").evaluate("drawn => drawn.getBoundingClientRect().height")
    assert whole > 844
    asked = page.locator(".y-node.asked").bounding_box()
    assert asked is not None
    assert asked["x"] >= 0
    assert asked["x"] + asked["width"] <= 390
    assert asked["y"] + asked["height"] <= 844
    seen = page.locator(".y-node").evaluate_all(
        "found => found.filter(n => { const b = n.getBoundingClientRect();"
        " return b.left < 390 && b.right > 0 && b.bottom > 480 && b.top < 844; }).length"
    )
    assert seen >= 3, "the frame is all but empty"
    assert page.evaluate("window.scrollY") == 0
    table = page.locator("#thread-table").bounding_box()
    assert table is not None
    assert table["y"] <= 2 * 844


def test_a_recall_of_packaging_says_when_a_buyer_has_no_name(
    client: httpx.Client, workshop: Workshop
) -> None:
    """Such an order is in the list; what to do names it, for nobody can be written to."""
    counted = [lot for lot in trace.follow(workshop, "S2-7").lots if lot.name == "Dust cover"]
    known = trace.recall(workshop, counted[0].code)
    nameless = {one.order for one in known.packed if not one.buyer}
    assert len(nameless) == 1
    page = client.get(f"/trace/{known.code}/recall").text
    assert "1 order below went to nobody known by name." in page


def test_a_material_came_in_by_receive_and_the_short_way_says_what_it_lacks(page: Page) -> None:
    """Nothing is chosen beforehand, so that no amount is booked as what it is not."""
    page.goto("/stores/millpond-soy")
    receive = page.get_by_role("link", name="Receive a delivery")
    assert "main" in (receive.get_attribute("class") or "").split()
    assert page.locator("#moves input:checked").count() == 0
    page.locator("#f-move-amount").fill("5 kg")
    page.get_by_role("button", name="Book it").click()
    assert page.locator("input[name=move]:invalid").count() == 3
    page.get_by_label("it came in without papers").check()
    assert "no supplier, lot code, good-until date or cost" in page.locator("#moves").inner_text()
    page.get_by_role("button", name="Book it").click()
    page.wait_for_url("**/stores/millpond-soy#moves")
    assert "+5000" in page.locator("#moves table").inner_text().replace("\u202f", "").replace(
        " ", ""
    )

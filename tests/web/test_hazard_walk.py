"""Pasting a sheet and seeing the label change, walked in a real browser."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.support.browser import assert_axe_clean, small_targets

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.support.browser import Watch
    from tests.support.serving import Served

# Invented: a strong sensitiser and an irritant.
ROWS = "Linalool\t78-70-6\t5 - 10 %\tSkin Sens. 1B\nCitral\t5392-40-5\t20 - 30 %\tSkin Sens. 1B"


def test_a_pasted_sheet_changes_the_label(page: Page) -> None:
    """From what the candle says without a sheet, through pasting, to the reason of a line."""
    page.goto("/stores/salt-timber")
    page.get_by_role("link", name="Safety data sheet").click()
    paste = page.get_by_label("Paste the rows")
    paste.fill("")
    page.get_by_text("appears here as a table").wait_for()
    paste.fill(ROWS)
    page.locator("#read").get_by_text("Read: 2 substances").wait_for()
    assert_axe_clean(page)
    page.get_by_role("button", name="Keep this sheet").click()
    page.wait_for_load_state()
    page.goto("/candles/low-water")
    page.get_by_role("link", name="What it must say").click()
    line = page.locator("details.why", has_text="May cause an allergic skin reaction.")
    line.locator("summary").click()
    row = line.get_by_role("row", name=re.compile("Citral"))
    assert row.get_by_text("30 % of Salt timber").is_visible()
    assert page.locator(".paper img").evaluate("image => image.naturalWidth") > 100
    page.goto("/stores/salt-timber/sheet")
    page.get_by_label("Paste the rows").fill("Citral\t5392-40-5\t0.5 - 1 %\tSkin Sens. 1B")
    page.get_by_role("button", name="Keep this sheet").click()
    page.wait_for_load_state()
    page.goto("/candles/low-water/label")
    text = page.locator(".reasons").inner_text()
    assert "May cause an allergic skin reaction" not in text


def test_a_slip_in_the_paste_is_said_in_its_cell_while_typing(page: Page, watch: Watch) -> None:
    """The table marks the cell at once; sending it all the same loses nothing."""
    page.goto("/stores/salt-timber/sheet")
    page.get_by_label("Paste the rows").fill(ROWS.replace("78-70-6", "78-70-7"))
    cell = page.locator("#read td", has_text="78-70-7")
    cell.locator(".problem").wait_for()
    assert_axe_clean(page)
    watch.expect("status of 422")
    page.get_by_role("button", name="Keep this sheet").click()
    page.wait_for_load_state()
    assert "78-70-7" in page.get_by_label("Paste the rows").input_value()
    assert page.locator("#read td .problem").inner_text()
    assert_axe_clean(page)


def test_touching_a_cell_of_the_drawn_sheet_starts_there(page: Page) -> None:
    """The drawing, the plain buttons under it and the address agree."""
    page.goto("/candles/low-water/labels")
    page.get_by_label("How many").first.fill("2")
    page.get_by_label("How many").first.press("Tab")
    page.locator(".p-cell.taken").nth(2).wait_for(state="detached")
    page.locator('a[href="#cell-3"]').click()
    page.locator('a[href="#cell-3"] .p-cell.taken').wait_for()
    assert page.locator("#cell-3").is_checked()
    assert page.locator(".p-cell.gone").count() == 2
    assert page.locator(".p-cell.taken").count() == 2
    assert_axe_clean(page)
    assert not small_targets(page)


def test_a_lot_is_weighed_and_kept(page: Page) -> None:
    """A column pasted at the bench, a verdict in words, and the record."""
    page.goto("/netweight?candle=slipway")
    page.get_by_label("The label says").fill("200 g")
    page.get_by_label("The scale says").fill("\n".join(["201.2", "200.8", "201.5", "200.1"] * 3))
    page.get_by_role("button", name="Test the lot").click()
    page.get_by_text("It passes.").first.wait_for()
    assert page.locator(".n-dot").count() == 12
    assert_axe_clean(page)
    assert not small_targets(page)
    page.get_by_role("button", name="Keep these weights").click()
    page.wait_for_url(re.compile(r"/netweight/\d+$"))
    assert page.get_by_role("heading", level=1).inner_text() == "Slipway"
    assert_axe_clean(page)


def test_everything_is_done_without_scripts_too(
    browser: Browser, live_server: Served, watch: Watch
) -> None:
    """Plain forms first: read the paste, keep it, choose the law, start at a cell."""
    context = browser.new_context(java_script_enabled=False, base_url=live_server.url)
    watch.attach(context, host=live_server.host)
    page = context.new_page()
    page.goto("/stores/salt-timber/sheet")
    page.get_by_label("Paste the rows").fill(ROWS)
    page.get_by_role("button", name="Only read it").click()
    page.get_by_text("Read: 2 substances").wait_for()
    page.get_by_role("button", name="Keep this sheet").click()
    page.goto("/candles/low-water/label")
    page.get_by_label("Sold in").select_option("US")
    page.get_by_role("button", name="Show it").click()
    page.get_by_text("Federal Hazardous Substances Act").first.wait_for()
    page.goto("/candles/low-water/labels")
    page.locator("#cell-5").check()
    page.get_by_role("button", name="Look again").click()
    page.wait_for_url(re.compile("start=5"))
    assert page.locator(".p-cell.gone").count() == 4
    context.close()
    watch.check()

"""The main job, walked in a real browser by somebody who has never seen Rushlight."""

from __future__ import annotations

import re
import time
from io import BytesIO
from typing import TYPE_CHECKING

import pypdf

from tests.support.browser import assert_axe_clean

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.support.browser import Watch
    from tests.support.serving import Served

THREE_MINUTES = 180.0


def drawn(page: Page) -> str:
    """Return the net mass in the title block."""
    return page.locator(".title-block dd").nth(1).inner_text()


def test_a_new_user_reaches_a_printed_pour_sheet_of_her_own(page: Page) -> None:
    """From the first page to the paper in under three minutes, without a word of help."""
    begun = time.monotonic()
    page.goto("/")
    page.get_by_role("link", name="design one of your own").click()
    page.get_by_label("Name of the candle").fill("Swallow's Nest")
    page.get_by_label("Vessel", exact=True).select_option("Harbour tumbler")
    page.locator('a[href="#wax"] .d-balloon').click()
    page.get_by_label("Wax", exact=True).select_option("Millpond soy")
    page.locator('a[href="#fragrance"] .d-balloon').click()
    page.get_by_label("Fragrance load").fill("9 %")
    page.get_by_label("Fragrance oil", exact=True).select_option("Elderflower")
    page.get_by_label("Jars wanted").fill("18")
    page.get_by_role("row", name=re.compile("Elderflower")).wait_for()
    page.get_by_role("button", name="Save and plan this pour").click()
    page.wait_for_url(re.compile(r"/pours/\d+"))
    assert page.get_by_role("heading", level=1).inner_text() == "Swallow's Nest"
    link = page.get_by_role("link", name="Print the pour sheet").get_attribute("href")
    assert link
    answer = page.request.get(link)
    assert answer.headers["content-type"] == "application/pdf"
    printed = "".join(p.extract_text() for p in pypdf.PdfReader(BytesIO(answer.body())).pages)
    assert "Swallow" in printed
    assert "Elderflower" in printed
    assert time.monotonic() - begun < THREE_MINUTES


def test_touching_a_part_opens_it_and_typing_redraws_at_once(page: Page) -> None:
    """One decision at a time; the figures follow the keys."""
    page.goto("/candles/slipway")
    before = drawn(page)
    page.locator('a[href="#fill"] .d-balloon').click()
    field = page.get_by_label("Headspace below the rim")
    assert field.is_visible()
    assert not page.get_by_label("Fragrance load").is_visible()
    field.fill("30 mm")
    page.wait_for_function(
        "before => document.querySelectorAll('.title-block dd')[1].textContent !== before",
        arg=before,
    )
    assert drawn(page) != before


def test_a_slip_is_said_beside_its_field_and_nothing_is_lost(page: Page, watch: Watch) -> None:
    """While typing, and again when the form is sent all the same."""
    page.goto("/candles/slipway")
    before = drawn(page)
    page.locator('a[href="#fragrance"] .d-balloon').click()
    page.get_by_label("Fragrance load").fill("900 %")
    problem = page.locator("#p-fragrance-load")
    problem.filter(has_text=re.compile(r"\S")).wait_for()
    assert drawn(page) == before
    assert_axe_clean(page)
    watch.expect("status of 422")
    page.get_by_role("button", name="Save as revision 2").click()
    page.wait_for_load_state()
    assert page.get_by_label("Fragrance load").input_value() == "900 %"
    assert page.locator("#p-fragrance-load").inner_text()


def test_the_keyboard_alone_changes_a_candle(page: Page) -> None:
    """Tab to a part, open it, type, save: no hover, no drag, no pointer."""
    page.goto("/candles/slipway")
    page.get_by_role("link", name="2, Fill: change it").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.name") == "fill.headspace"
    page.keyboard.press("Control+A")
    page.keyboard.type("22 mm")
    page.get_by_role("button", name="Save as revision 2").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/candles/slipway")
    page.get_by_text("revision 2", exact=False).first.wait_for()


def test_the_bench_survives_a_reload_and_a_timer_runs_on(page: Page) -> None:
    """Ticks, readings and deadlines are kept by the server, not by the page."""
    page.goto("/candles/painters-locker")
    page.get_by_role("button", name="Save and plan this pour").click()
    page.wait_for_url(re.compile(r"/pours/\d+"))
    page.get_by_role("button", name="Start this pour").click()
    page.get_by_label("The scale says").first.wait_for()
    lines = page.locator(".weighings > li").count()
    page.get_by_label("The scale says").first.fill("1300 g")
    page.get_by_role("button", name=re.compile("is weighed")).first.click()
    page.locator(".weighings > li.done").wait_for()
    page.get_by_role("button", name=re.compile("^Stir")).click()
    page.locator(".countdown").wait_for()
    page.get_by_label("The thermometer says").fill("84 C")
    page.get_by_role("button", name="Note it").click()
    page.locator(".opens b").first.wait_for()
    page.reload()
    assert page.locator(".weighings > li").count() == lines
    assert "1300 g" in page.locator(".weighings > li.done .actual").inner_text()
    assert re.fullmatch(r"\d+:\d\d", page.locator(".countdown").inner_text())
    said = page.locator(".opens").inner_text()
    assert re.search(r"opens \d\d:\d\d and closes \d\d:\d\d \(± \d+ min\)", said)
    assert_axe_clean(page)


def test_the_job_is_done_without_scripts_too(
    browser: Browser, live_server: Served, watch: Watch
) -> None:
    """Plain forms first: a link opens its part, a button works it out, nothing is lost."""
    context = browser.new_context(java_script_enabled=False, base_url=live_server.url)
    watch.attach(context, host=live_server.host)
    page = context.new_page()
    page.goto("/candles/new#fragrance")
    page.get_by_label("Name of the candle").fill("Plain")
    page.get_by_role("button", name="Another oil").click()
    page.get_by_label("and with it").wait_for()
    assert page.get_by_label("Name of the candle").input_value() == "Plain"
    page.get_by_label("Fragrance load").fill("6 %")
    page.get_by_role("button", name="Work it out").click()
    assert "6 %" in page.locator(".title-block").inner_text()
    page.get_by_role("button", name="Save this candle").click()
    page.wait_for_url("**/candles/plain")
    context.close()
    watch.check()

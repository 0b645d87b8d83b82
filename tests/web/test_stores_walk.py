"""A week in the stores, walked in a real browser: what comes, what goes, what is counted."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from rushlight.workshop.stores import jars, lots
from tests.support.browser import assert_axe_clean, small_targets
from tests.support.pages import Pages

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from rushlight.workshop import Workshop
    from tests.support.browser import Watch
    from tests.support.serving import Served


def receive(page: Page) -> None:
    """Fill in two lines with freight, from the stores; press nothing yet."""
    page.goto("/stores")
    page.get_by_role("link", name="Receive a delivery").click()
    page.get_by_label("Supplier").fill("The Imaginary Wax Barn")
    page.get_by_label("Delivery note").fill("DN 9001")
    for n, (name, packs, pack, price, theirs) in enumerate(
        (("Millpond soy", "2", "10 kg", "52.00", "MS-9001"), ("Cut reed", "1", "500 g", "24", ""))
    ):
        line = page.get_by_role("group", name=str(n + 1), exact=True)
        line.get_by_label("Material").fill(name)
        line.get_by_label("Packs").fill(packs)
        line.get_by_label("Pack", exact=True).fill(pack)
        line.get_by_label("Price of a pack").fill(price)
        line.get_by_label("Their lot").fill(theirs)
    page.get_by_label("Freight").fill("12.80")


def write_order(page: Page) -> str:
    """Write down four jars of Slipway for a shop; return the code."""
    page.goto("/orders")
    page.get_by_role("link", name="Write an order down").click()
    page.get_by_label("Channel").select_option("shops-wholesale")
    page.get_by_label("For whom").fill("The Shop Round the Corner")
    page.get_by_label("How to reach them").fill("corner@example.com")
    page.get_by_label("Candle").first.select_option("slipway")
    page.get_by_label("Jars").first.fill("4")
    page.get_by_label("Price of a jar").first.fill("14.50")
    page.get_by_role("button", name="Write it down").click()
    page.wait_for_url(re.compile(r"/orders/S\d+-\d$"))
    return page.url.rsplit("/", 1)[1]


def count_jars(page: Page, code: str, counted: str) -> str:
    """Begin a blind stocktake of the jars and count one lot; return its address."""
    page.goto("/stocktakes")
    page.get_by_label("Count", exact=True).select_option("jars")
    page.get_by_label("blind").check()
    page.get_by_role("button", name="Begin counting").click()
    page.wait_for_url(re.compile(r"/stocktakes/\d+$"))
    place = page.url
    assert "The books hold" not in page.content()
    page.get_by_label(f"Counted of {code}").fill(counted)
    page.get_by_role("button", name="Enter these counts").click()
    page.get_by_text("1 of ").first.wait_for()
    assert page.get_by_label(f"Counted of {code}").input_value() == counted
    return place


def test_a_week_in_the_stores(page: Page, workshop: Workshop) -> None:
    """Received, looked at, ordered, picked, packed, sent, tested, counted, booked and undone."""
    receive(page)
    page.get_by_role("button", name="What it comes to").click()
    # 104.00 + 24.00; 12.80 by value is a tenth of each: 10.40 and 2.40 (arithmetic)
    landed = page.locator("#landed")
    assert landed.get_by_role("row", name="Millpond soy").get_by_text("£114.40").is_visible()
    assert landed.get_by_role("row", name="Cut reed").get_by_text("£26.40").is_visible()
    assert_axe_clean(page)
    assert not small_targets(page, 48)
    page.get_by_role("button", name="Put it in stores").click()
    page.wait_for_url(re.compile(r"/receiving/\d+$"))
    lot = page.locator("a.code").first
    code = lot.inner_text()
    lot.click()
    page.wait_for_url(f"**/lots/{code}")
    assert page.get_by_text("£5.72 a kilogram").is_visible()  # 114.40 / 20 kg
    assert page.get_by_text("MS-9001").is_visible()

    order = write_order(page)
    slipway = jars.listing(workshop, candle="slipway")[0].code
    before = jars.get(workshop, slipway).line.left
    assert page.get_by_label(f"Jars from {slipway}").input_value() == "4"
    assert_axe_clean(page)
    page.get_by_role("button", name="Picked").click()
    page.get_by_text("picked, to send").wait_for()
    address = page.get_by_role("link", name="Packing slip").get_attribute("href")
    assert address
    slip = page.request.get(address)
    assert slip.headers["content-type"] == "application/pdf"
    words = Pages(slip.body()).words
    assert all(said in words for said in (order, slipway, "The Shop Round the Corner"))
    page.get_by_role("button", name="Sent", exact=True).click()
    page.get_by_text(re.compile(r"for The Shop Round the Corner, sent")).wait_for()
    assert jars.get(workshop, slipway).line.left == before - 4

    page.locator(f"a.code[href='/jars/{slipway}']").first.click()
    page.get_by_label("a test burn").check()
    page.locator("#move").get_by_label("Jars").fill("1")
    page.locator("#move").get_by_label("Note").fill("Hot throw in the hall")
    page.get_by_role("button", name="Take them out").click()
    page.get_by_text("Hot throw in the hall").wait_for()
    assert jars.get(workshop, slipway).line.left == before - 5
    counted_and_undone(page, workshop, slipway)


def counted_and_undone(page: Page, workshop: Workshop, code: str) -> None:
    """Count a lot one short, print, book it with the reason, and take all of it back."""
    there = jars.get(workshop, code).line.left
    place = count_jars(page, code, str(there - 1))
    assert_axe_clean(page)
    assert not small_targets(page, 48)
    sheet = page.get_by_role("link", name="Print the counting sheet").get_attribute("href")
    assert sheet
    assert code in Pages(page.request.get(sheet).body()).words
    page.get_by_label("Why it differs").fill("one behind the shelf, broken")
    page.get_by_role("button", name="Book them").click()
    page.get_by_text("Why: one behind the shelf, broken.").wait_for()
    assert_axe_clean(page)
    assert jars.get(workshop, code).line.left == there - 1
    page.goto("/done")
    page.get_by_role("button", name="Undo").first.click()
    page.wait_for_url("**/done")
    assert jars.get(workshop, code).line.left == there
    page.goto(place)
    assert page.get_by_role("button", name="Enter these counts").is_visible()


def test_a_slip_in_a_delivery_is_found_by_its_link(page: Page, watch: Watch) -> None:
    """The list of what is wrong leads to the field; everything typed is still there."""
    from playwright.sync_api import expect

    watch.expect("status of 422")
    receive(page)
    page.get_by_label("Freight").fill("a fiver")
    page.get_by_role("button", name="Put it in stores").click()
    page.get_by_text("One thing to mend").wait_for()
    page.locator("ul.said a").click()
    field = page.get_by_label("Freight")
    expect(field).to_be_focused()
    assert field.get_attribute("aria-invalid") == "true"
    assert page.get_by_label("Delivery note").input_value() == "DN 9001"
    field.fill("5")
    page.get_by_role("button", name="Put it in stores").click()
    page.wait_for_url(re.compile(r"/receiving/\d+$"))


def test_a_delivery_is_received_by_keys_alone(page: Page, workshop: Workshop) -> None:
    """Tab goes through the fields in the order they are read; Enter alone books nothing.

    A scanner ends what it reads with Enter: in a field that makes room for one line more.
    """
    page.goto("/receiving/new")
    page.get_by_label("Supplier").focus()
    seen = []
    typed = {
        "supplier": "The Imaginary Wax Barn",
        "lines.0.material": "Millpond soy",
        "lines.0.packs": "1",
        "lines.0.pack": "10 kg",
        "lines.0.price": "50",
    }
    while (name := page.evaluate("document.activeElement.name")) != "freight":
        seen.append(name)
        if name in typed:
            page.keyboard.type(typed[name])
        page.keyboard.press("Tab")
    order = page.evaluate(
        "[...document.querySelectorAll('form[action=\"/receiving\"] :is(input, select, button)')]"
        ".filter(e => e.type !== 'hidden').map(e => e.name)"
    )
    assert seen == order[: len(seen)]
    before = len(lots.listing(workshop))
    page.keyboard.press("Enter")
    page.get_by_role("group", name="4", exact=True).wait_for()
    assert len(lots.listing(workshop)) == before
    assert page.get_by_label("Supplier").input_value() == typed["supplier"]
    page.get_by_role("button", name="Put it in stores").focus()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/receiving/\d+$"))
    assert len(lots.listing(workshop)) == before + 1


def test_the_stores_are_kept_without_scripts_too(
    browser: Browser, live_server: Served, watch: Watch, workshop: Workshop
) -> None:
    """Plain forms first: receive, order, pick, send, count, book, undo, take everything out."""
    context = browser.new_context(java_script_enabled=False, base_url=live_server.url)
    watch.attach(context, host=live_server.host)
    page = context.new_page()
    receive(page)
    page.get_by_role("button", name="One line more").click()
    page.get_by_role("group", name="4", exact=True).wait_for()
    assert page.get_by_label("Delivery note").input_value() == "DN 9001"
    page.get_by_role("button", name="Put it in stores").click()
    page.wait_for_url(re.compile(r"/receiving/\d+$"))
    write_order(page)
    page.get_by_role("button", name="Picked").click()
    page.get_by_role("button", name="Sent", exact=True).click()
    page.get_by_text(re.compile(r"Corner, sent")).wait_for()
    code = jars.listing(workshop, candle="slipway")[0].code
    there = jars.get(workshop, code).line.left
    count_jars(page, code, str(there - 1))
    page.get_by_label("Why it differs").fill("one broken")
    page.get_by_role("button", name="Book them").click()
    page.get_by_text("Why: one broken.").wait_for()
    page.goto("/done")
    page.get_by_role("button", name="Undo").first.click()
    page.wait_for_url("**/done")
    assert jars.get(workshop, code).line.left == there
    page.goto("/exchange")
    page.get_by_role("button", name="Make the archive").click()
    page.wait_for_url(re.compile(r"/exchange/export/\d+$"))
    page.get_by_role("link", name="Save it").wait_for()  # the page asks again by itself
    context.close()
    watch.check()

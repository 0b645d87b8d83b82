"""Every page in both schemes, wide and narrow: accessible, large enough to touch, in one column."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import pytest

from tests.support.browser import assert_axe_clean, small_targets

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.browser import Watch

PAGES = (
    "/",
    "/candles",
    "/candles/new",
    "/candles/low-water",
    "/candles/low-water/price",
    "/candles/low-water/revisions",
    "/candles/low-water/label",
    "/candles/low-water/label?law=US",
    "/candles/low-water/labels",
    "/netweight?candle=low-water",
    "/stores/salt-timber/sheet",
    "/channels",
    "/pours",
    "/pours/7",
    "/pours/8",
    "/pours/1",
    "/trace",
    "/trace?code=MS-2",
    "/trace/1",
    "/trace/M35-9",
    "/trace/S4-3",
    "/trace/M35-9/recall",
    "/stores",
    "/stores/new?role=vessel",
    "/stores/millpond-soy",
    "/settings",
    "/done",
)
OPEN_ALL = "document.querySelectorAll('details:not([name])').forEach(box => { box.open = true; })"
BENCH = {"/pours/7", "/pours/8", "/pours/1", "/trace", "/trace?code=MS-2"}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 320])
def test_every_page_is_accessible(page: Page, scheme: Literal["light", "dark"], width: int) -> None:
    """No axe finding, no small target, nothing wider than the screen."""
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": width, "height": 800})
    found = []
    for place in PAGES:
        page.goto(place)
        page.evaluate(OPEN_ALL)
        assert_axe_clean(page)
        found += [f"{place}: {t}" for t in small_targets(page, 48 if place in BENCH else 44)]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{place} is wider than {width} px")
    assert not found, "\n".join(found)


def test_every_part_of_the_sheet_is_accessible_when_open(page: Page) -> None:
    """The parts are closed at first; each is looked at open."""
    page.goto("/candles/low-water")
    for key in ("vessel", "fill", "wax", "fragrance", "wick", "colour", "finish"):
        page.locator(f"#part-{key}").evaluate("box => { box.open = true; }")
        assert page.locator(f"#part-{key} .fields").is_visible()
        assert_axe_clean(page)
        assert not small_targets(page)


def test_a_refused_page_is_accessible_too(page: Page, watch: Watch) -> None:
    """Trouble is said in the same calm way."""
    watch.expect("status of 404")
    page.goto("/candles/there-is-none")
    assert_axe_clean(page)
    assert page.get_by_role("heading", level=1).inner_text() == "Not here"

"""Every page in both schemes, wide and narrow: accessible, large enough to touch, in one column."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import httpx
import pytest

from rushlight.workshop.stores import jars, lots, orders, stocktakes
from tests.support.browser import assert_axe_clean, small_targets

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from rushlight.workshop import Workshop
    from tests.support.browser import Watch
    from tests.support.serving import Served

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
    "/receiving",
    "/receiving/new",
    "/receiving/1",
    "/lots",
    "/lots/{lot}",
    "/jars",
    "/jars?empty=yes",
    "/jars/{jars}",
    "/orders",
    "/orders?state=sent",
    "/orders/new",
    "/orders/sell?lot={jars}",
    "/orders/{order}",
    "/orders/{order}/edit",
    "/orders/{sent}",
    "/stocktakes",
    "/stocktakes/{count}",
    "/stocktakes/{blind}",
    "/trace/{jars}",
    "/trace/{jars}/recall",
    "/worth",
    "/margins",
    "/exchange",
    "/exchange/import/{list}",
    "/settings",
    "/done",
)
HEADINGS = """[...document.querySelectorAll('h1, h2, h3, h4')]
    .filter(e => e.checkVisibility()).map(e => Number(e.tagName[1]))"""
HTML = "text/html; charset=utf-8"
OPEN_ALL = "document.querySelectorAll('details:not([name])').forEach(box => { box.open = true; })"
BENCH = {"/pours/7", "/pours/8", "/pours/1", "/trace", "/trace?code=MS-2"}
BENCH |= {"/receiving/new", "/orders/sell?lot={jars}"}
BENCH |= {"/stocktakes/{count}", "/stocktakes/{blind}"}

# A list with a problem in it, so that its page shows all it can show.
LIST = b"Type;Material;Pack size;Odd\nwax;Odd wax;10 kg;x\nmoonlight;Odder;ten tons;y\n"


@pytest.fixture
def names(workshop: Workshop, live_server: Served) -> dict[str, str]:
    """Return what the addresses name; a stocktake is half counted, a list half understood."""
    lot = lots.listing(workshop, "millpond-soy")[0].code
    count = stocktakes.begin(workshop, {"of": "materials"})
    half = {f"line.{line.id}": "1" for line in count.lines[::2]}
    stocktakes.enter(workshop, count.line.id, half)
    place = f"{live_server.url}/exchange/import"
    said = httpx.post(place, data={"kind": "materials"}, files={"file": ("list.csv", LIST)})
    return {
        "lot": lot,
        "jars": jars.listing(workshop, candle="slipway")[0].code,
        "order": orders.listing(workshop, state="open")[0].code,
        "sent": orders.listing(workshop, state="sent")[0].code,
        "count": str(count.line.id),
        "blind": str(stocktakes.begin(workshop, {"of": "both", "blind": "yes"}).line.id),
        "list": said.headers["location"].rsplit("/", 1)[1],
    }


@pytest.mark.timeout(400)
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 320])
def test_every_page_is_accessible(
    page: Page, names: dict[str, str], scheme: Literal["light", "dark"], width: int
) -> None:
    """No axe finding, no small target, nothing wider than the screen, headings in their order."""
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": width, "height": 800})
    found = []
    for place in PAGES:
        page.goto(place.format(**names))
        page.evaluate(OPEN_ALL)
        try:
            assert_axe_clean(page)
        except AssertionError as bad:
            found.append(str(bad))
        found += [f"{place}: {t}" for t in small_targets(page, 48 if place in BENCH else 44)]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{place} is wider than {width} px")
        levels = page.evaluate(HEADINGS)
        if levels[:1] != [1] or any(b - a > 1 for a, b in pairwise(levels)):
            found.append(f"{place}: its headings go {levels}")
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


@pytest.mark.parametrize(
    ("place", "form"),
    [
        ("/receiving", {"lines.0.material": "Moon dust", "freight": "x"}),
        ("/lots/{lot}/move", {"move": "scrap", "amount": "999 kg"}),
        ("/jars/{jars}/back", {"jars": "x", "order": "banana"}),
        ("/orders", {"lines.0.candle": "slipway", "lines.0.jars": "x"}),
        ("/orders/sell", {"jars": "500", "candle": "slipway"}),
        ("/stocktakes/{count}/book", {"reason": ""}),
        ("/exchange/import", {"kind": "orders"}),
    ],
)
def test_a_refused_form_of_the_stores_is_accessible(
    page: Page, live_server: Served, names: dict[str, str], place: str, form: dict[str, str]
) -> None:
    """The message belongs to its field, the list of them leads there."""
    answer = httpx.post(f"{live_server.url}{place.format(**names)}", data=form)
    assert answer.status_code == 422
    page.route("**/refused", lambda route: route.fulfill(body=answer.text, content_type=HTML))
    page.goto("/refused")
    assert_axe_clean(page)
    assert not small_targets(page)
    links = page.locator("ul.said a").evaluate_all("found => found.map(a => a.hash.slice(1))")
    assert links
    for name in links:
        assert page.locator(f"[id='{name}']").count() == 1, name

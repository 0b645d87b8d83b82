"""The watch over the browser must itself be able to fail: each trouble is made on purpose here."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from tests.support.browser import Watch, assert_axe_clean, small_targets
from tests.support.serving import Served, serve

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAGES = {
    "clean": '<button style="width:48px;height:48px">Pour</button>',
    "abroad": '<img alt="" src="http://candle.invalid/x.png">',
    "policy": "<script>document.title = 'ran'</script>",
    "unnamed": "<input type=text>",
    "tiny": '<button style="width:20px;height:20px;padding:0">+</button>',
}


def _page(request: Request) -> Response:
    body = PAGES.get(request.path_params["name"])
    if body is None:
        return Response("gone", status_code=404)
    return HTMLResponse(
        "<!doctype html><html lang=en><link rel=icon href='data:,'><title>Test</title>"
        f"<main><h1>Test</h1>{body}</main></html>",
        headers={"Content-Security-Policy": "script-src 'self'"},
    )


@pytest.fixture
def live_server() -> Iterator[Served]:
    """Serve the few pages above instead of a workshop."""
    with serve(Starlette(routes=[Route("/{name}", _page)])) as served:
        yield served


@pytest.fixture
def bare(browser: "Browser", live_server: Served) -> "Iterator[tuple[Page, Watch]]":
    """Open a watched page whose check the test itself makes."""
    context = browser.new_context(base_url=live_server.url)
    watch = Watch()
    watch.attach(context, host=live_server.host)
    yield context.new_page(), watch
    context.close()


def test_a_clean_page_passes_every_check(page: "Page") -> None:
    """A plain page raises no trouble, no axe finding and no small target."""
    page.goto("/clean")
    assert_axe_clean(page)
    assert small_targets(page) == []


@pytest.mark.parametrize(
    ("name", "trouble"),
    [
        ("abroad", "asked another machine: GET http://candle.invalid/x.png"),
        ("policy", "content security policy: script-src-elem refused inline"),
        ("missing", "console error: Failed to load resource"),
    ],
)
def test_each_trouble_is_seen(bare: "tuple[Page, Watch]", name: str, trouble: str) -> None:
    """A foreign request, a broken policy and a failed load each fail the watch."""
    page, watch = bare
    page.goto(f"/{name}")
    page.wait_for_timeout(100)
    with pytest.raises(AssertionError, match=trouble):
        watch.check()


def test_an_error_thrown_in_the_page_is_seen(bare: "tuple[Page, Watch]") -> None:
    """An exception that no script catches fails the watch."""
    page, watch = bare
    page.goto("/clean")
    page.evaluate("setTimeout(() => { throw new Error('wick') })")
    page.wait_for_timeout(100)
    with pytest.raises(AssertionError, match=r"thrown in the page: .*wick"):
        watch.check()


def test_announced_trouble_is_allowed_and_must_come(bare: "tuple[Page, Watch]") -> None:
    """A test may announce a refusal that it provokes; one that never comes is a failure."""
    page, watch = bare
    watch.expect("status of 404")
    with pytest.raises(AssertionError, match="did not come"):
        watch.check()
    page.goto("/missing")
    page.wait_for_timeout(100)
    watch.check()


def test_axe_sees_an_unnamed_field(page: "Page") -> None:
    """A field without a label is an axe finding, with the element in the message."""
    page.goto("/unnamed")
    with pytest.raises(AssertionError, match=r"label: .*<input"):
        assert_axe_clean(page)


def test_a_small_target_is_listed(page: "Page") -> None:
    """A control of 20 by 20 pixels is listed with its size."""
    page.goto("/tiny")
    assert [line.rsplit(" ", 3)[1:] for line in small_targets(page)] == [["20", "x", "20"]]

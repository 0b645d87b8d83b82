"""What every test may ask for: a Hypothesis profile, the demo workshop, a served one, a browser."""

import os
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from tests.support import browser as browsing
from tests.support import serving

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from rushlight.workshop import Workshop

# A slow machine is no failure (deadline). The build machine tries the same examples each time, so
# that a change is never refused by chance; new ones are drawn at every desk.
settings.register_profile("ci", deadline=None, print_blob=True, derandomize=True)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark as `browser` whatever asks for a browser, so that nobody can forget to."""
    for item in items:
        if {"page", "browser"} & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.browser)
            item.add_marker(pytest.mark.timeout(180))


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the demo workshop once; tests get copies, so they cannot disturb one another."""
    from rushlight import demo
    from rushlight.workshop.shop import wall_clock

    place = tmp_path_factory.mktemp("demo") / "boathouse.rushlight"
    demo.build(place, clock=wall_clock).close()
    return place


@pytest.fixture
def workshop_file(demo_file: Path, tmp_path: Path) -> Path:
    """Give a demo workshop file of the test's own."""
    copy = tmp_path / "workshop.rushlight"
    source = sqlite3.connect(demo_file)
    try:
        # A plain file copy could miss what still stands in the write-ahead log.
        source.execute("VACUUM INTO ?", (str(copy),))
    finally:
        source.close()
    return copy


@pytest.fixture
def workshop(workshop_file: Path) -> "Iterator[Workshop]":
    """Open the test's own demo workshop, at the clock of the machine."""
    from rushlight.workshop.opening import open_workshop

    shop = open_workshop(workshop_file)
    yield shop
    shop.close()


@pytest.fixture
def live_server(workshop: "Workshop") -> Iterator[serving.Served]:
    """Serve the test's own demo workshop on a free port of 127.0.0.1."""
    from rushlight.web.app import create_app

    with serving.serve(create_app(workshop)) as served:
        yield served


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    """Start one Chromium for all tests; fail, never skip, where there is none."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        chromium = driver.chromium.launch(
            executable_path=browsing.executable(), args=list(browsing.FLAGS)
        )
        yield chromium
        chromium.close()


@pytest.fixture
def watch() -> browsing.Watch:
    """Collect what a page must never do; a test announces here the trouble that it causes."""
    return browsing.Watch()


@pytest.fixture
def page(
    browser: "Browser", live_server: serving.Served, watch: browsing.Watch
) -> "Iterator[Page]":
    """Open an empty page on the served workshop: `page.goto("/")`.

    The test fails at its end if any page asked another machine for anything, wrote an error to
    the console, threw, or broke the content security policy.
    """
    context = browser.new_context(
        base_url=live_server.url, viewport={"width": 1280, "height": 900}, locale="en-GB"
    )
    context.set_default_timeout(10_000)
    watch.attach(context, host=live_server.host)
    yield context.new_page()
    context.close()
    watch.check()

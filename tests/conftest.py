"""What every test may ask for: a Hypothesis profile, the demo workshop, a served one, a browser."""

import os
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from tests.support import browser as browsing
from tests.support import postgres, serving

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from rushlight.workshop import Workshop
    from tests.support.homes import Home

# A slow machine is no failure (deadline). The build machine tries the same examples each time, so
# that a change is never refused by chance; new ones are drawn at every desk.
settings.register_profile("ci", deadline=None, print_blob=True, derandomize=True)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")

# Numba colours its messages by swapping sys.stdout for a moment, also while it compiles on a
# thread in the background: a command that a test runs meanwhile would lose what it wrote.
os.environ["NUMBA_DISABLE_ERROR_MESSAGE_HIGHLIGHTING"] = "1"


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run what keeps a workshop twice: in a file, and on a real PostgreSQL.

    What asks for the `path` of the file is about files, and what is marked `once` about
    nothing that could differ.
    """
    if "home" not in metafunc.fixturenames:
        return
    once = metafunc.definition.get_closest_marker("once") or "path" in metafunc.fixturenames
    server = [] if once else [pytest.param("server", marks=pytest.mark.server)]
    metafunc.parametrize("home", ["file", *server], indirect=True)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark as `browser` or `server` whatever asks for one, so that nobody can forget to.

    Where there is no PostgreSQL the server tests are left out, and the summary says so.
    """
    for item in items:
        asked = set(getattr(item, "fixturenames", ()))
        if {"page", "browser"} & asked:
            item.add_marker(pytest.mark.browser)
            item.add_marker(pytest.mark.timeout(180))
        if "server" in asked:
            item.add_marker(pytest.mark.server)
    if postgres.missing() is not None:
        left = [item for item in items if item.get_closest_marker("server")]
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if item not in left]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say on which PostgreSQL the server tests ran, or why they were left out."""
    ran = [
        report
        for outcome in ("passed", "failed", "error")
        for report in terminalreporter.getreports(outcome)
        if report.when == "call" and "server" in report.keywords
    ]
    why = postgres.missing()
    if why is not None:
        terminalreporter.write_line(f"{why}: the server tests were left out.")
    elif ran:
        terminalreporter.write_line(f"{len(ran)} tests ran on PostgreSQL {postgres.version()}.")


@pytest.fixture(scope="session")
def server() -> Iterator[postgres.Cluster]:
    """Start one PostgreSQL for all tests."""
    with postgres.cluster() as started:
        yield started


@pytest.fixture(scope="session")
def templates(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder for files that are made once and copied."""
    return tmp_path_factory.mktemp("templates")


@pytest.fixture
def home(request: pytest.FixtureRequest, tmp_path: Path, templates: Path) -> "Iterator[Home]":
    """Say where workshops are kept: in files first, in databases of a server the second time."""
    from tests.support.homes import Databases, Files

    if request.param == "file":
        yield Files(tmp_path, templates)
        return
    databases = Databases(request.getfixturevalue("server"), [])
    yield databases
    databases.clear()


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

"""The documentation site in a real browser."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from starlette.applications import Starlette
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from tests.support.browser import assert_axe_clean
from tests.support.serving import Served, serve
from tests.support.tree import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.slow


@pytest.fixture
def live_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Serve the built documentation instead of a workshop."""
    folder = tmp_path_factory.mktemp("site")
    mkdocs = Path(sys.executable).parent / "mkdocs"
    command: list[str | Path] = [mkdocs, "build", "--strict", "--quiet", "--site-dir", folder]
    subprocess.run(command, cwd=ROOT, check=True)
    with serve(Starlette(routes=[Mount("/", StaticFiles(directory=folder, html=True))])) as served:
        yield served


def test_the_site_is_accessible_and_asks_nobody_else(page: "Page") -> None:
    """Each page shows in our fonts, without a foreign request, and passes axe."""
    for name in ("index", "tour", "candle-file", "trust", "units", "benchmarks"):
        page.goto(f"/{name}.html")
        page.wait_for_load_state("networkidle")
        assert_axe_clean(page)
    fonts: list[str] = page.evaluate(
        "[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family)"
    )
    assert {font.strip('"') for font in fonts} >= {"Source Sans 3", "Source Serif 4"}

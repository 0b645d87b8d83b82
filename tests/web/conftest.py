"""What the tests of the pages may ask for."""

from __future__ import annotations

from collections.abc import Iterator

import httpx
import pytest

from rushlight.web.app import create_app
from rushlight.workshop import Workshop
from tests.support.serving import serve


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made

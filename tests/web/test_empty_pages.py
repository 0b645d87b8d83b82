"""A workshop with nothing in it: each page says what to do first."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from rushlight.web.app import create_app
from rushlight.workshop import wall_clock
from rushlight.workshop.opening import create_workshop
from tests.support.forms import Form
from tests.support.serving import serve


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[httpx.Client]:
    """Return a client of a new workshop."""
    shop = create_workshop(tmp_path / "new.rushlight", clock=wall_clock)
    with serve(create_app(shop)) as served, httpx.Client(base_url=served.url) as made:
        yield made
    shop.close()


@pytest.mark.parametrize(
    ("place", "words", "link"),
    [
        ("/stores", "Put in first what you pour with", "/exchange"),
        ("/receiving/new", "No material is in your stores yet", "/stores#new"),
        ("/lots", "No lot is in hand", "/receiving/new"),
        ("/jars", "Finish a pour", "/pours"),
        ("/orders/new", "No way of selling is set up yet", "/channels"),
        ("/orders/sell", "No candle is designed yet", "/candles/new"),
        ("/margins", "No jar was sold in these days", "/jars"),
        ("/done", "Nothing yet", "/"),
    ],
)
def test_an_empty_page_says_what_to_do(
    empty: httpx.Client, place: str, words: str, link: str
) -> None:
    """In words, with the way there."""
    answer = empty.get(place)
    assert answer.status_code == 200
    page = Form(answer.text)
    assert words in page.words
    assert link in page.links


def test_money_is_asked_for_in_the_currency_of_the_workshop(empty: httpx.Client) -> None:
    """A field for money names it, wherever one is typed into the stores."""
    assert empty.post("/settings", data={"currency": "EUR"}).status_code in {200, 303}
    for place in ("/receiving/new", "/orders/new", "/orders/sell"):
        assert "€" in Form(empty.get(place).text).words, place

"""Trouble that is not a slip of hers: what she typed is not lost."""

from __future__ import annotations

import httpx
import pytest

from rushlight.errors import WorkshopError
from rushlight.workshop import Workshop, prices
from rushlight.workshop.stores import orders, stocktakes
from tests.support.forms import Form

BUYER = "Nell <b>Quay</b>"


def test_what_was_typed_outlives_a_workshop_that_cannot_be_written(
    workshop: Workshop, client: httpx.Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A locked file: the page shows it, and its one button sends just that again."""
    channel = prices.channels(workshop)[0].slug
    form = {"candle": "slipway", "jars": "2", "channel": channel, "buyer": BUYER, "key": "one"}
    before = len(orders.listing(workshop))
    whole = orders.sell

    def locked(*_: object, **__: object) -> None:
        raise WorkshopError("Another program holds the workshop file.")

    monkeypatch.setattr(orders, "sell", locked)
    here = {"referer": f"{client.base_url}/orders/sell?lot=x"}
    answer = client.post("/orders/sell", data=form, headers=here)
    assert answer.status_code == 503
    page = Form(answer.text)
    assert "Another program holds the workshop file." in page.words
    assert "for whom Nell <b>Quay</b>" in page.words  # as text
    assert "<b>Quay" not in answer.text
    assert page.fields == {name: text for name, text in form.items() if name != "key"}
    assert page.keys == ["one"]
    assert 'action="/orders/sell"' in answer.text
    assert "/orders/sell?lot=x" in page.links
    monkeypatch.setattr(orders, "sell", whole)
    for _ in range(2):
        assert client.post("/orders/sell", data=page.fields | {"key": "one"}).status_code == 303
    assert len(orders.listing(workshop)) == before + 1


def test_what_was_typed_outlives_a_refusal(workshop: Workshop, client: httpx.Client) -> None:
    """A stocktake that was booked meanwhile: her reason can still be read."""
    number = stocktakes.begin(workshop, {"of": "jars"}).line.id
    answer = client.post(f"/stocktakes/{number}/book?role=jars", data={"reason": "one fell"})
    assert answer.status_code == 409
    page = Form(answer.text)
    assert "why it differs one fell" in page.words
    assert page.fields["reason"] == "one fell"
    assert f'action="/stocktakes/{number}/book?role=jars"' in answer.text


def test_another_site_is_no_way_back(client: httpx.Client) -> None:
    """Only a page of ours is offered."""
    elsewhere = {"referer": "http://elsewhere.example/orders/new"}
    answer = client.post("/stocktakes/9999/book", data={"reason": "x"}, headers=elsewhere)
    assert answer.status_code == 404
    assert "elsewhere" not in answer.text
    assert "Send it again" not in answer.text  # it would be no more there than before
    assert "x" in Form(answer.text).words


def test_a_page_that_is_not_there_asks_for_nothing(client: httpx.Client) -> None:
    """Nothing was typed, so nothing is said of it."""
    page = Form(client.get("/pours/999999").text)
    assert "What you typed" not in page.words
    assert page.fields == {}

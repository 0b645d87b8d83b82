"""Selling over the counter, in the browser."""

from __future__ import annotations

import re
from decimal import Decimal

import httpx
import pytest

from rushlight.workshop import Workshop, undo
from rushlight.workshop.stores import jars, orders
from rushlight.workshop.stores.views import OrderState
from tests.support.forms import Form

SALE = {"candle": "slipway", "jars": "2", "channel": "at-the-boathouse-door", "price": "16"}


@pytest.fixture
def slipway(workshop: Workshop) -> str:
    """Return the oldest jars of Slipway, which are cured."""
    return jars.listing(workshop, candle="slipway")[0].code


def left(shop: Workshop, code: str) -> int:
    """Return how many jars of a lot are in hand."""
    return jars.get(shop, code).line.left


def test_a_sale_over_the_counter_is_an_order_sent_at_once(
    workshop: Workshop, client: httpx.Client, slipway: str
) -> None:
    """Two jars at 16.00 and one sale, however often the button is touched."""
    was = left(workshop, slipway)
    sold = [client.post("/orders/sell", data=SALE | {"key": "one"}) for _ in range(2)]
    assert sold[0].headers["location"] == sold[1].headers["location"]
    assert left(workshop, slipway) == was - 2
    view = orders.get(workshop, sold[0].headers["location"].rsplit("/", 1)[1])
    assert view.line.state is OrderState.SENT
    assert view.line.takings == Decimal(32)
    client.post(f"/undo/{undo.listing(workshop)[0].id}", data={})
    assert left(workshop, slipway) == was


def test_a_sale_can_begin_with_the_jar_in_the_hand(
    workshop: Workshop, client: httpx.Client, slipway: str
) -> None:
    """The code from its page stands in the form, and the price is the channel's own."""
    page = Form(client.get(f"/orders/sell?lot={slipway}").text)
    assert page.fields["lot"] == slipway
    told = {k: v for k, v in SALE.items() if k not in {"candle", "price"}} | {"lot": slipway}
    answer = client.post("/orders/sell", data=told)
    assert answer.status_code == 303, Form(answer.text).words[:600]
    view = orders.get(workshop, answer.headers["location"].rsplit("/", 1)[1])
    assert view.items[0].price > 0


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"jars": "500"}, "jars"),
        ({"jars": ""}, "jars"),
        ({"candle": ""}, "candle"),
        ({"channel": ""}, "channel"),
        ({"channel": "nowhere"}, "channel"),
        ({"candle": "", "lot": "261101-01-8"}, "lot"),
        ({"price": "a fiver"}, "price"),
        ({"buyer": "x" * 400}, "buyer"),
    ],
)
def test_a_slip_in_a_sale_is_said_at_its_field(
    workshop: Workshop, client: httpx.Client, slipway: str, typed: dict[str, str], place: str
) -> None:
    """Nothing is sold, nothing typed is lost."""
    was = left(workshop, slipway)
    answer = client.post("/orders/sell", data=SALE | typed)
    assert answer.status_code == 422
    page = Form(answer.text)
    assert page.wrong(place)
    assert {k: page.fields[k] for k in SALE | typed} == SALE | typed
    assert left(workshop, slipway) == was


def test_a_jar_that_cures_is_not_sold_until_she_says_so(
    workshop: Workshop, client: httpx.Client
) -> None:
    """The box appears with the question, and once ticked it goes."""
    curing = next(j.code for j in jars.listing(workshop, candle="slipway") if j.state == "curing")
    told = SALE | {"candle": "", "lot": curing}
    refused = client.post("/orders/sell", data=told)
    assert refused.status_code == 422
    assert 'name="curing"' in refused.text
    assert re.search(r'id="[fp]-curing"', refused.text)
    assert client.post("/orders/sell", data=told | {"curing": "yes"}).status_code == 303

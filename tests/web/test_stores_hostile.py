"""Hostile words kept in the stores, then looked at everywhere; foreign hosts, foreign pages."""

from __future__ import annotations

from collections.abc import Mapping

import httpx
import pytest
from fastapi.routing import APIRoute

from rushlight.web.app import ALL
from rushlight.workshop import Workshop, undo
from rushlight.workshop.stores import jars, lots, orders, receiving, stocktakes

SCRIPT = "<script>alert(1)</script>"
FORMULA = '=HYPERLINK("http://example.com","x")'


@pytest.fixture
def marked(workshop: Workshop) -> Mapping[str, str]:
    """Write a script into every text the stores keep; return the codes that it hangs on."""
    came = receiving.receive(
        workshop,
        {
            "supplier": SCRIPT,
            "reference": SCRIPT,
            "note": SCRIPT,
            "lines.0.material": "Millpond soy",
            "lines.0.packs": "1",
            "lines.0.pack": "1 kg",
            "lines.0.supplier_lot": SCRIPT,
        },
    )
    lot = came.lots[0].code
    lots.scrap(workshop, lot, {"amount": "1 g", "note": SCRIPT})
    jar = jars.listing(workshop, candle="slipway")[0].code
    told = {"jars": "1", "channel": "saturday-market", "price": "5", "candle": "slipway"}
    told |= {"buyer": SCRIPT, "contact": FORMULA, "note": SCRIPT}
    sold = orders.sell(workshop, told).line.code
    open_one = {"channel": "saturday-market", "buyer": f"{SCRIPT}2", "note": SCRIPT}
    open_one |= {"due": "2199-01-01", "lines.0.candle": "slipway", "lines.0.jars": "1"}
    order = orders.save(workshop, None, open_one).line.code
    count = stocktakes.begin(workshop, {"of": "both"}).line.id
    line = next(line.id for line in stocktakes.get(workshop, count).lines if line.code == lot)
    stocktakes.enter(workshop, count, {f"line.{line}": "1 g"})
    booked = stocktakes.begin(workshop, {"of": "both"}).line.id
    line = next(line.id for line in stocktakes.get(workshop, booked).lines if line.code == lot)
    stocktakes.enter(workshop, booked, {f"line.{line}": "2 g"})
    stocktakes.book(workshop, booked, {"reason": SCRIPT})
    return {
        "lot": lot,
        "jar": jar,
        "sold": sold,
        "order": order,
        "count": str(count),
        "booked": str(booked),
        "delivery": str(came.line.id),
    }


PLACES = (
    *("/", "/done", "/stores", "/stores/millpond-soy", "/receiving", "/receiving/new"),
    *("/receiving/{delivery}", "/lots", "/lots?empty=yes", "/lots/{lot}", "/jars", "/jars/{jar}"),
    *("/orders", "/orders?state=sent", "/orders/new", "/orders/sell", "/orders/{sold}"),
    *("/orders/{order}", "/orders/{order}/edit", "/stocktakes", "/stocktakes/{count}"),
    *("/stocktakes/{booked}", "/trace/{lot}", "/trace/{jar}"),
    *("/trace/{sold}", "/trace/{lot}/recall", "/trace/{jar}/recall", "/worth", "/margins"),
    "/exchange",
)
SAID = {
    *("/done", "/receiving", "/receiving/{delivery}", "/lots/{lot}", "/orders", "/orders/{sold}"),
    *("/orders/{order}", "/orders/{order}/edit", "/stocktakes/{booked}", "/trace/{lot}"),
    *("/trace/{jar}", "/trace/{jar}/recall", "/jars/{jar}", "/orders?state=sent"),
}


def test_a_script_that_is_kept_is_only_words_wherever_it_is_shown(
    client: httpx.Client, marked: Mapping[str, str]
) -> None:
    """Suppliers, their codes, buyers, notes and reasons: on every page of the stores."""
    for place in PLACES:
        answer = client.get(place.format(**marked))
        assert answer.status_code == 200, place
        assert SCRIPT not in answer.text, place
        assert "alert(1)</script>" not in answer.text, place
        if place in SAID:
            assert "&lt;script&gt;" in answer.text, place


def test_papers_and_tables_hold_it_as_words_too(
    client: httpx.Client, marked: Mapping[str, str]
) -> None:
    """PDF, CSV and ICS are made all the same, and no cell of a table begins a formula."""
    for place in (
        "/orders/{sold}/slip.pdf",
        "/stocktakes/{count}/sheet.pdf",
        "/trace/{jar}/recall.pdf",
    ):
        answer = client.get(place.format(**marked))
        assert answer.status_code == 200, place
        assert answer.content.startswith(b"%PDF-"), place
    table = client.get(f"/trace/{marked['jar']}/recall.csv")
    assert table.headers["content-type"].startswith("text/csv")
    assert not any(
        cell.strip('"').startswith("=")
        for row in table.text.splitlines()
        for cell in row.split(",")
    )
    told = client.get("/calendar.ics").text.replace("\r\n ", "")
    assert SCRIPT in told or "&lt;" not in told  # a calendar has no markup: words are words


QUERIES = (
    *(("/lots", "of"), ("/jars", "of"), ("/orders", "state"), ("/orders/new", "candle")),
    *(("/orders/sell", "lot"), ("/receiving/new", "material"), ("/stores/new", "role")),
    *(("/trace", "code"), ("/worth", "day"), ("/margins", "from")),
)


@pytest.mark.parametrize(
    "text", [SCRIPT, "'\"><img src=x>", "\x00", "𝟙", "x" * 3000, "{{7*777777}}"]
)
def test_whatever_is_asked_in_an_address_is_answered_calmly(
    client: httpx.Client, text: str
) -> None:
    """Shown as words, refused, or not there."""
    for place, name in QUERIES:
        answer = client.get(place, params={name: text})
        assert answer.status_code in {200, 303, 404, 422}, place
        assert SCRIPT not in answer.text, place
        assert "<img src=x" not in answer.text, place
        assert "5444439" not in answer.text, place


def posts() -> list[str]:
    """Return every address of the pages that something is posted to."""
    routes = [route for module in ALL for route in module.router.routes]
    return [r.path for r in routes if isinstance(r, APIRoute) and "POST" in (r.methods or ())]


def test_nothing_is_written_for_another_page(workshop: Workshop, client: httpx.Client) -> None:
    """Every post there is: refused by where it comes from, before anything is looked at."""
    before = undo.listing(workshop)[0].id
    assert len(posts()) > 40
    for path in posts():
        for headers in (
            {"sec-fetch-site": "cross-site"},
            {"sec-fetch-site": "same-site"},
            {"sec-fetch-site": "none"},
            {"origin": "http://example.com"},
            {"origin": "null"},
        ):
            answer = client.post(path, data={"key": "x"}, headers=headers)
            assert answer.status_code == 403, (path, headers)
            assert "nothing was written" in answer.text
    assert undo.listing(workshop)[0].id == before


@pytest.mark.parametrize("host", ["example.com", "rushlight.local", "127.0.0.1.example.com", ""])
def test_no_other_name_is_answered_to(client: httpx.Client, host: str) -> None:
    """A page elsewhere cannot reach the stores by renaming itself (DNS rebinding)."""
    for path in ("/stores", "/orders", "/exchange", "/calendar.ics", "/trace?code=M1-9"):
        assert client.get(path, headers={"host": host}).status_code in {400, 421}, path
    assert client.post("/exchange/export", headers={"host": host}).status_code in {400, 421}

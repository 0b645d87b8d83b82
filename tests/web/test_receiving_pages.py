"""Receiving as a page: what a delivery becomes, what is refused, and the way back."""

from __future__ import annotations

import re
from decimal import Decimal

import httpx
import pytest

from rushlight.workshop import Workshop, undo
from rushlight.workshop.stores import lots, receiving
from tests.support.forms import Form

# Two lines of 10 x 52.00 and 5 x 24.00; freight 15.00 by value falls 12.1875 and 2.8125.
DELIVERY = {
    "supplier": "The Imaginary Wax Barn",
    "reference": "DN 9001",
    "freight": "15.00",
    "freight_by": "value",
    "lines.0.material": "Millpond soy",
    "lines.0.packs": "10",
    "lines.0.pack": "10 kg",
    "lines.0.price": "52.00",
    "lines.0.supplier_lot": "MS-9001",
    "lines.0.date_kind": "expiry",
    "lines.1.material": "harbour-tumbler",
    "lines.1.packs": "5",
    "lines.1.pack": "24",
    "lines.1.price": "24.00",
    "lines.1.date_kind": "expiry",
    "lines.2.date_kind": "expiry",
}


def left(shop: Workshop, code: str) -> int:
    """Return what is left of a lot of a material [mg or pieces]."""
    return lots.get(shop, code).line.left.units


def test_a_delivery_becomes_lots_with_what_they_cost_here(
    workshop: Workshop, client: httpx.Client
) -> None:
    """15.00 by value over 520.00 and 120.00: 12.1875 and 2.8125 (arithmetic)."""
    answer = client.post("/receiving", data=DELIVERY)
    assert answer.status_code == 303, Form(answer.text).words[:800]
    view = receiving.get(workshop, int(answer.headers["location"].rsplit("/", 1)[1]))
    assert [line.cost for line in view.lots] == [Decimal("532.1875"), Decimal("122.8125")]
    page = Form(client.get(answer.headers["location"]).text)
    for lot in view.lots:
        assert f"/lots/{lot.code}" in page.links
        shown = Form(client.get(f"/lots/{lot.code}").text)
        assert lot.code in shown.words
        assert "/receiving/" in " ".join(shown.links)
    assert "MS-9001" in page.words
    assert "£655.00" in page.words  # all of it: 640.00 + 15.00


def test_what_it_comes_to_is_shown_before_and_nothing_is_written(
    workshop: Workshop, client: httpx.Client
) -> None:
    """A preview, and one line more, keep all that was typed and write nothing."""
    before = len(receiving.deliveries(workshop)), len(undo.listing(workshop))
    page = Form(client.post("/receiving/preview", data=DELIVERY).text)
    assert "£532.19" in page.words
    assert "£5.32 /kg" in page.words  # 532.1875 / 100 kg
    assert "£1.02 each" in page.words  # 122.8125 / 120
    more = Form(client.post("/receiving/more", data=DELIVERY).text)
    for shown in (page, more):
        assert {k: shown.fields[k] for k in DELIVERY} == DELIVERY
    rows = [sum(name.endswith(".packs") for name in shown.fields) for shown in (page, more)]
    assert rows == [3, 4]
    assert (len(receiving.deliveries(workshop)), len(undo.listing(workshop))) == before


def test_a_delivery_can_begin_with_a_material(client: httpx.Client) -> None:
    """From a material that is low, its name stands in the first line."""
    assert Form(client.get("/receiving/new?material=Salt+timber").text).fields[
        "lines.0.material"
    ] == ("Salt timber")


@pytest.mark.parametrize(
    ("place", "typed", "what"),
    [
        ("supplier", "", "supplier is missing"),
        ("day", "2199-01-01", "still to come"),
        ("day", "31/12/2025", "not a date"),
        ("freight", "fifteen", ""),
        ("freight_by", "mass", "by the piece"),
        ("lines.0.material", "Moon dust", "no material"),
        ("lines.0.packs", "0", ""),
        ("lines.0.packs", "", "missing"),
        ("lines.0.pack", "10 fl oz", ""),
        ("lines.1.price", "", "to be spread"),
        ("lines.0.expires", "1999-01-01", "past this date"),
        ("lines.0.date_kind", "sell by", "not one of the choices"),
        ("lines.1.supplier_lot", "x" * 300, "characters"),
        ("note", "x" * 6000, "characters"),
    ],
)
def test_a_slip_in_a_delivery_is_said_at_its_field_and_nothing_is_lost(
    workshop: Workshop, client: httpx.Client, place: str, typed: str, what: str
) -> None:
    """By the field itself; everything typed stands there still, and no lot was made."""
    before = len(lots.listing(workshop, empty=True))
    sent = DELIVERY | {"lines.0.expires": "2199-01-01", place: typed}
    answer = client.post("/receiving", data=sent)
    assert answer.status_code == 422
    page = Form(answer.text)
    assert page.wrong(place)
    assert what in page.wrong(place)
    assert f"#f-{place.replace('.', '-').replace('_', '-')}" in page.links
    kept = {k: page.fields.get(k) for k in sent if k != "day" or typed}
    assert kept == {k: sent[k] for k in kept}
    assert len(lots.listing(workshop, empty=True)) == before


def test_every_slip_of_a_delivery_is_said_at_once(client: httpx.Client) -> None:
    """Three lines, three slips, one answer."""
    sent = DELIVERY | {"lines.0.packs": "none", "lines.1.material": "?", "freight": "x"}
    page = Form(client.post("/receiving", data=sent).text)
    assert "3 things to mend" in page.words
    assert all(page.wrong(p) for p in ("lines.0.packs", "lines.1.material", "freight"))


@pytest.mark.parametrize("path", ["/receiving/preview", "/receiving/more", "/receiving"])
@pytest.mark.parametrize("row", ["9" * 5000, "９", "-1", "1e9", "", "99999"])
def test_a_line_numbered_beyond_reason_is_no_crash(
    client: httpx.Client, path: str, row: str
) -> None:
    """A form has a hundred lines at most, whatever the names of its fields say."""
    answer = client.post(path, data={f"lines.{row}.material": "Millpond soy"})
    assert answer.status_code in {200, 422}
    assert answer.text.count("Price of a pack") <= 100


def test_the_same_delivery_sent_twice_came_once(workshop: Workshop, client: httpx.Client) -> None:
    """The second post of a form leads to the first one's delivery."""
    before = len(lots.listing(workshop, empty=True))
    first, second = (client.post("/receiving", data=DELIVERY | {"key": "one"}) for _ in range(2))
    assert first.headers["location"] == second.headers["location"]
    assert len(lots.listing(workshop, empty=True)) == before + 2


def test_a_delivery_is_undone_from_its_page_and_again_from_done(
    workshop: Workshop, client: httpx.Client
) -> None:
    """Undone, its lots are gone from the shelf; undoing the undo brings them back."""
    place = client.post("/receiving", data=DELIVERY).headers["location"]
    code = receiving.get(workshop, int(place.rsplit("/", 1)[1])).lots[0].code
    button = re.search(r'action="(/undo/\d+)"', client.get(place).text)
    assert button
    assert client.post(button[1], data={}).headers["location"] == "/done"
    assert left(workshop, code) == 0
    page = Form(client.get(place).text)
    assert "undone" in page.words
    assert "Undo this delivery" not in page.words
    assert "undone" in Form(client.get("/receiving").text).words
    deed = undo.listing(workshop)[0]
    assert f'action="/undo/{deed.id}"' in client.get("/done").text
    client.post(f"/undo/{deed.id}", data={})
    assert left(workshop, code) == 100_000_000


@pytest.mark.parametrize("number", ["0", "-1", "999999", "9" * 30, "x", "1e3"])
def test_a_delivery_that_is_not_there_is_not_there(client: httpx.Client, number: str) -> None:
    """Said calmly."""
    answer = client.get(f"/receiving/{number}")
    assert answer.status_code == 404
    assert "Not here" in answer.text

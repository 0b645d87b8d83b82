"""Orders as pages: written down, picked, packed, sent, sold over the counter, and undone."""

from __future__ import annotations

from urllib.parse import quote

import httpx
import pytest

from rushlight.workshop import Workshop, materials, undo
from rushlight.workshop.stores import jars, orders
from rushlight.workshop.stores.codes import order_code
from rushlight.workshop.stores.views import OrderState
from tests.support.forms import Form
from tests.support.pages import Pages

# Invented. 3 x 14.00 + 2 x 12.50 = 67.00
ORDER = {
    "channel": "shops-wholesale",
    "buyer": "Nobody & Daughters",
    "contact": "nobody@example.com",
    "due": "2199-01-01",
    "note": "By the back door",
    "lines.0.candle": "slipway",
    "lines.0.jars": "3",
    "lines.0.price": "14.00",
    "lines.1.candle": "boathouse-tea",
    "lines.1.jars": "2",
    "lines.1.price": "12.50",
    "lines.2.candle": "",
    "lines.2.jars": "",
    "lines.2.price": "",
}


@pytest.fixture
def code(workshop: Workshop) -> str:
    """Return an order that is written down and not picked."""
    typed = {name: value for name, value in ORDER.items() if value}
    return orders.save(workshop, None, typed).line.code


@pytest.fixture
def slipway(workshop: Workshop) -> str:
    """Return the oldest jars of Slipway, which are cured."""
    return jars.listing(workshop, candle="slipway")[0].code


def state(shop: Workshop, code: str) -> OrderState:
    """Return how far an order is."""
    return orders.get(shop, code).line.state


def left(shop: Workshop, code: str) -> int:
    """Return how many jars of a lot are in hand."""
    return jars.get(shop, code).line.left


def proposed(page: Form) -> dict[str, str]:
    """Return what stands in the fields of the pick."""
    return {name: value for name, value in page.fields.items() if name.startswith("pick.")}


@pytest.mark.parametrize("query", ["", "?state=sent", "?state=cancelled", "?state=<script>"])
def test_orders_are_listed_by_what_is_to_be_done(client: httpx.Client, query: str) -> None:
    """What is late first; a state that is none is taken for what is to do."""
    answer = client.get(f"/orders{query}")
    assert answer.status_code == 200
    assert "<script>" not in answer.text
    assert 'aria-current="page"' in answer.text


def test_a_late_order_is_marked_late(workshop: Workshop, client: httpx.Client) -> None:
    """On the list, on its page and among the stores at a glance."""
    late = next(o for o in orders.listing(workshop) if "Pier" in o.buyer)
    assert late.due_on is not None
    assert late.due_on < workshop.today()
    for place in ("/orders", f"/orders/{late.code}", "/stores"):
        assert 'class="late">late: ' in client.get(place).text, place


def test_an_order_is_written_down_once(workshop: Workshop, client: httpx.Client) -> None:
    """With what it comes to; the same form twice is one order."""
    before = len(orders.listing(workshop))
    sent = [client.post("/orders", data=ORDER | {"key": "one-touch"}) for _ in range(2)]
    assert [answer.status_code for answer in sent] == [303, 303]
    assert sent[0].headers["location"] == sent[1].headers["location"]
    assert len(orders.listing(workshop)) == before + 1
    page = Form(client.get(sent[0].headers["location"]).text)
    for words in ("Nobody & Daughters", "nobody@example.com", "By the back door", "£67.00"):
        assert words in page.words


def test_the_form_can_begin_with_a_candle_and_grow_by_a_line(client: httpx.Client) -> None:
    """Nothing is written; what was typed stays."""
    page = Form(client.get("/orders/new?candle=slipway").text)
    assert page.fields["lines.0.candle"] == "slipway"
    more = Form(client.post("/orders/more", data=ORDER).text)
    assert {k: more.fields[k] for k in ORDER} == ORDER
    assert sum(name.endswith(".jars") for name in more.fields) == 4


@pytest.mark.parametrize(
    ("place", "typed", "what"),
    [
        ("channel", "nowhere", ""),
        ("due", "1999-01-01", "before it was placed"),
        ("placed", "soon", "not a date"),
        ("lines.0.candle", "moon-dust", ""),
        ("lines.0.jars", "-2", ""),
        ("lines.0.jars", "", ""),
        ("lines.1.price", "free", ""),
        ("note", "x" * 6000, "characters"),
    ],
)
def test_a_slip_in_an_order_is_said_at_its_field_and_nothing_is_lost(
    workshop: Workshop, client: httpx.Client, place: str, typed: str, what: str
) -> None:
    """By the field itself, and nothing is written."""
    before = len(orders.listing(workshop))
    sent = ORDER | {"placed": "2026-01-05", place: typed}
    answer = client.post("/orders", data=sent)
    assert answer.status_code == 422
    page = Form(answer.text)
    assert page.wrong(place)
    assert what in page.wrong(place)
    assert {k: page.fields[k] for k in sent} == sent
    assert len(orders.listing(workshop)) == before


def test_an_order_of_nothing_is_no_order(client: httpx.Client) -> None:
    """The remedy says what to do."""
    answer = client.post("/orders", data={"channel": "shops-wholesale", "buyer": "Nobody"})
    assert answer.status_code == 422
    assert "Choose a candle" in Form(answer.text).words


def test_a_line_numbered_beyond_reason_is_no_crash(client: httpx.Client) -> None:
    """Whatever the names of the fields say."""
    for row in ("9" * 5000, "９", "-1", "", "99999"):
        for path in ("/orders", "/orders/more"):
            answer = client.post(path, data={f"lines.{row}.jars": "3"})
            assert answer.status_code in {200, 422}
            assert answer.text.count("Price of a jar") <= 101


def test_an_order_is_changed_and_one_with_a_slip_is_not(
    workshop: Workshop, client: httpx.Client, code: str
) -> None:
    """Its form stands as it was written; three jars become four."""
    page = Form(client.get(f"/orders/{code}/edit").text)
    told = page.fields
    assert told["lines.0.candle"] == "slipway"
    assert told["lines.0.jars"] == "3"
    bad = client.post(f"/orders/{code}/edit", data=told | {"lines.0.jars": "many"})
    assert bad.status_code == 422
    assert Form(bad.text).wrong("lines.0.jars")
    assert Form(bad.text).fields["lines.0.jars"] == "many"
    assert f'action="/orders/{code}/edit"' in bad.text
    assert client.post(f"/orders/{code}/edit", data=told | {"lines.0.jars": "4"}).is_redirect
    assert orders.get(workshop, code).line.jars == 6


def test_an_order_goes_from_the_pick_to_the_buyer_and_back(
    workshop: Workshop, client: httpx.Client, code: str, slipway: str
) -> None:
    """Picked from the oldest cured lots, sent once, undone step by step."""
    was = left(workshop, slipway)
    page = Form(client.get(f"/orders/{code}").text)
    pick = proposed(page)
    assert sum(int(value or 0) for value in pick.values()) == 5
    for _ in range(2):  # a nervous second touch
        assert client.post(f"/orders/{code}/pick", data=pick | {"key": "p"}).status_code == 303
    assert state(workshop, code) is OrderState.PICKED
    assert left(workshop, slipway) == was - 3
    assert slipway in Form(client.get(f"/orders/{code}").text).words
    for _ in range(2):
        assert client.post(f"/orders/{code}/send", data={"key": "s"}).status_code == 303
    assert state(workshop, code) is OrderState.SENT
    sent, picked = undo.listing(workshop)[:2]
    assert client.post(f"/undo/{picked.id}", data={}).status_code in {303, 409}
    client.post(f"/undo/{sent.id}", data={})
    assert state(workshop, code) is not OrderState.SENT
    client.post(f"/undo/{picked.id}", data={})
    assert state(workshop, code) is OrderState.OPEN
    assert left(workshop, slipway) == was


def test_an_order_says_what_it_was_packed_in_and_what_was_not_there(
    workshop: Workshop, client: httpx.Client, code: str
) -> None:
    """Five jars, and four dust covers in the books: four leave, and she is told of the fifth."""
    materials.count(workshop, "dust-cover", {"amount": "4"})
    client.post(f"/orders/{code}/pick", data={"key": "p"} | proposed(
        Form(client.get(f"/orders/{code}").text)))  # fmt: skip
    assert "Packed in" not in client.get(f"/orders/{code}").text
    client.post(f"/orders/{code}/send", data={"key": "s"})
    page = client.get(f"/orders/{code}").text
    assert "1 of Dust cover were not in the books. Count them." in Form(page).words
    (covers,) = (one for one in orders.get(workshop, code).packed if one.material == "dust-cover")
    assert covers.pieces == 4
    assert f'4 × Dust cover, <a class="code" href="/lots/{covers.lot}">' in page
    lot = client.get(f"/lots/{covers.lot}").text
    assert f'packed, order <a class="code" href="/orders/{code}">' in lot
    assert "1 of Dust cover were not in the books." in client.get("/done").text


def test_a_pick_of_nothing_picks_nothing(
    workshop: Workshop, client: httpx.Client, code: str
) -> None:
    """Whoever clears every number does not mean the proposal."""
    cleared = dict.fromkeys(proposed(Form(client.get(f"/orders/{code}").text)), "")
    answer = client.post(f"/orders/{code}/pick", data=cleared)
    assert answer.status_code == 422
    assert "Nothing would be picked" in Form(answer.text).words
    assert orders.get(workshop, code).line.picked == 0


@pytest.mark.parametrize("typed", ["500", "half", "-1"])
def test_a_slip_in_the_pick_is_said_at_its_lot_and_nothing_moves(
    workshop: Workshop, client: httpx.Client, code: str, slipway: str, typed: str
) -> None:
    """All or nothing, and the numbers stand as they were typed."""
    was = left(workshop, slipway)
    pick = proposed(Form(client.get(f"/orders/{code}").text))
    first = next(name for name in pick if name.endswith(slipway))
    answer = client.post(f"/orders/{code}/pick", data=pick | {first: typed})
    assert answer.status_code == 422
    assert Form(answer.text).wrong(first)
    assert proposed(Form(answer.text)) == pick | {first: typed}
    assert left(workshop, slipway) == was


def test_curing_jars_go_only_when_she_says_so(
    workshop: Workshop, client: httpx.Client, code: str
) -> None:
    """Offered, marked, and refused until the box is ticked."""
    curing = next(j.code for j in jars.listing(workshop, candle="slipway") if j.state == "curing")
    line = orders.get(workshop, code).items[0].id
    pick = {f"pick.{line}.{curing}": "3"}
    refused = client.post(f"/orders/{code}/pick", data=pick)
    assert refused.status_code == 422
    assert "cures until" in Form(refused.text).wrong(f"pick.{line}.{curing}")
    assert client.post(f"/orders/{code}/pick", data=pick | {"curing": "yes"}).status_code == 303


def test_an_order_is_put_back_and_cancelled(
    workshop: Workshop, client: httpx.Client, code: str, slipway: str
) -> None:
    """What was picked goes back to its lots, either way; a cancelled one is not sent."""
    was = left(workshop, slipway)
    pick = proposed(Form(client.get(f"/orders/{code}").text))
    client.post(f"/orders/{code}/pick", data=pick)
    assert client.post(f"/orders/{code}/unpick", data={}).status_code == 303
    assert left(workshop, slipway) == was
    client.post(f"/orders/{code}/pick", data=pick)
    assert client.post(f"/orders/{code}/cancel", data={}).status_code == 303
    assert left(workshop, slipway) == was
    assert state(workshop, code) is OrderState.CANCELLED
    again = client.post(f"/orders/{code}/send", data={})
    assert again.status_code == 409
    assert "cancelled" in Form(again.text).words
    assert code in client.get("/orders?state=cancelled").text


@pytest.mark.parametrize("act", ["send", "cancel", "unpick", "pick", "edit"])
def test_nothing_can_be_done_with_an_order_that_is_not_there(
    client: httpx.Client, act: str
) -> None:
    """Said calmly."""
    assert client.post(f"/orders/{order_code(999_999)}/{act}", data={}).status_code == 404


def test_something_else_cannot_be_done_with_an_order(client: httpx.Client, code: str) -> None:
    """Nor anything by looking at it."""
    assert client.post(f"/orders/{code}/eat", data={}).status_code == 404
    for act in ("send", "cancel"):
        assert client.get(f"/orders/{code}/{act}").status_code in {404, 405}


def test_who_it_went_to_is_put_right_after_it_was_sent(
    workshop: Workshop, client: httpx.Client
) -> None:
    """So that a recall finds her; a slip is said on the page of the order itself."""
    sent = next(o.code for o in orders.listing(workshop, state="sent") if not o.buyer)
    bad = client.post(f"/orders/{sent}/edit", data={"buyer": "x" * 400, "note": ""})
    assert bad.status_code == 422
    assert Form(bad.text).wrong("buyer")
    assert "Put right who it went to" in Form(bad.text).words
    told = {"buyer": "Later Known", "contact": "later@example.com", "note": ""}
    assert client.post(f"/orders/{sent}/edit", data=told).status_code == 303
    assert orders.get(workshop, sent).line.buyer == "Later Known"


@pytest.mark.parametrize("paper", ["", "?paper=Letter", "?paper=Napkin"])
def test_the_packing_slip_is_a_pdf_without_prices(
    client: httpx.Client, code: str, paper: str
) -> None:
    """Shown in the browser under a name of its own, as what it is."""
    answer = client.get(f"/orders/{code}/slip.pdf{paper}")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-disposition"] == f'inline; filename="order-{code}.pdf"'
    pages = Pages(answer.content)
    assert code in pages.words
    assert "Nobody & Daughters" in pages.words
    assert "14.00" not in pages.words
    wide = {round(w) for w, _ in pages.sizes}
    assert wide == {216 if "Letter" in paper else 210}  # mm: ISO 216, ANSI/ASME Y14.1


def test_a_slip_of_no_order_is_not_there(client: httpx.Client) -> None:
    """A good code that nothing has."""
    assert client.get(f"/orders/{order_code(999_999)}/slip.pdf").status_code == 404


def test_a_buyer_leads_to_all_their_orders(workshop: Workshop, client: httpx.Client) -> None:
    """Whatever became of them, and of nobody else."""
    open_one = next(o for o in orders.listing(workshop, state="open") if o.buyer)
    page = Form(client.get(f"/orders/{open_one.code}").text)
    there = next(link for link in page.links if link.startswith("/orders?buyer="))
    assert there == f"/orders?buyer={quote(open_one.buyer)}"
    found = Form(client.get(there).text)
    assert f"of {open_one.buyer}" in found.words
    assert f"/orders/{open_one.code}" in found.links
    every = orders.listing(workshop)
    theirs = {o.code for o in every if o.buyer == open_one.buyer}
    assert {o.code for o in orders.listing(workshop, buyer=open_one.buyer)} == theirs
    for other in every:
        assert (f"/orders/{other.code}" in found.links) == (other.code in theirs)
    nobody = Form(client.get("/orders?buyer=Nobody%00").text)
    assert "No order is noted for Nobody" in nobody.words


def test_an_order_says_what_it_comes_to(workshop: Workshop, client: httpx.Client) -> None:
    """Its sum stands under the lines, on a narrow screen as well."""
    order = orders.listing(workshop, state="open")[0]
    page = client.get(f"/orders/{order.code}").text
    foot = page[page.index("<tfoot>") : page.index("</tfoot>")]
    assert f"£{order.takings:.2f}" in foot
    assert "opt" not in foot

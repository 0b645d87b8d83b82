"""The trace pages: a code leads to its thread, a lot to its recall list, and both add up."""

from __future__ import annotations

import csv
import html
import io
import re
from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING

import httpx
import pytest

from rushlight.web.app import create_app
from rushlight.workshop import Workshop, pours
from rushlight.workshop.stores import jar_moves, jars, lots, orders, receiving, trace, working
from tests.support.pages import Pages
from tests.support.serving import serve

if TYPE_CHECKING:
    from playwright.sync_api import Page

SCRIPT = "<script>alert(1)</script>"
FORMULA = "=HYPERLINK(1)"


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


@pytest.fixture
def soy(workshop: Workshop) -> str:
    """Return the lot of soy that the demo's pours used."""
    (hit,) = trace.find(workshop, "MS-2209").hits
    return hit.code


@pytest.fixture
def oldest(workshop: Workshop) -> str:
    """Return the oldest jars of the demo, part of which was sold."""
    return jars.listing(workshop, candle="slipway")[0].code


def words(page: str) -> str:
    """Return a page as its words."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def test_the_empty_search_is_a_field_and_the_latest_jars(client: httpx.Client) -> None:
    """Nothing to read before she types; the jars of last week are one touch away."""
    page = client.get("/trace").text
    assert page.count("<input") == 1
    assert re.search(r"<input[^>]* autofocus", page)
    found = re.findall(r'href="/trace/([\d-]+)"', page)
    assert found == sorted(found, reverse=True)
    assert 0 < len(found) <= 8


@pytest.mark.parametrize("typed", ["{0}", " {0} ", "{1}"])
def test_a_code_typed_or_scanned_leads_to_its_thread(
    client: httpx.Client, oldest: str, typed: str
) -> None:
    """With its dashes or without, with a space before it or not."""
    text = typed.format(oldest, oldest.replace("-", ""))
    answer = client.get("/trace", params={"code": text})
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/trace/{oldest}"


def test_a_suppliers_own_code_lists_every_lot_that_has_it(
    client: httpx.Client, workshop: Workshop, soy: str
) -> None:
    """The same batch came twice: both lots are there to choose from, and neither is opened."""
    again = receiving.receive(
        workshop,
        {
            "supplier": "The Imaginary Wax Barn",
            "lines.0.material": "millpond-soy",
            "lines.0.packs": "1",
            "lines.0.pack": "5 kg",
            "lines.0.price": "30",
            "lines.0.supplier_lot": "MS-2209",
        },
    )
    page = client.get("/trace", params={"code": "ms-2209"}).text
    assert set(re.findall(r'href="/trace/(M[\d-]+)"', page)) == {soy, again.lots[0].code}


def test_a_slip_in_a_code_is_explained(client: httpx.Client, oldest: str) -> None:
    """One digit off: nothing is guessed, the reason is said, and what was typed stays."""
    wrong = oldest[:-1] + str((int(oldest[-1]) + 1) % 10)
    page = client.get("/trace", params={"code": wrong}).text
    assert "has a slip in it" in page
    assert f'value="{wrong}"' in page


@pytest.mark.parametrize("text", [SCRIPT, "\x00", "x" * 500, "🕯", "{{7*777777}}", "../../etc"])
def test_any_text_in_the_search_is_answered_in_words(client: httpx.Client, text: str) -> None:
    """No crash, and no markup of hers in the page."""
    answer = client.get("/trace", params={"code": text})
    assert answer.status_code in {200, 422}
    assert SCRIPT not in answer.text
    assert "5444439" not in answer.text
    assert "Nothing here goes by" in answer.text or "This is no code" in answer.text


def test_jars_are_told_with_every_lot_reading_person_and_buyer(
    client: httpx.Client, workshop: Workshop, oldest: str
) -> None:
    """The thread is drawn first, then told in its table, then the record whole."""
    known = trace.follow(workshop, oldest)
    page = client.get(f"/trace/{oldest}").text
    assert page.index('class="yarn"') < page.index('id="thread-table"') < page.index('id="lots"')
    table = page[page.index('id="thread-table"') : page.index("</table>")]
    assert table.count("<tr>") == len(known.thread.rows) + 1
    told = html.unescape(words(page[page.index('id="lots"') :]))
    for lot in known.lots:
        for text in (lot.code, lot.name, lot.supplier, lot.supplier_lot):
            assert text in told
    for sale in known.sales:
        for text in (sale.order, sale.buyer, sale.contact):
            assert text in told
    assert known.bench.weighings
    assert known.bench.readings
    for done in known.bench.work:
        assert done.person in told
    assert "Crack or broken glass" in told
    assert f'href="/pours/{known.pours[0].id}/sheet.pdf"' in page
    assert f"/candles/{known.pours[0].candle}?revision={known.pours[0].revision}" in page


def test_a_lot_of_a_material_is_followed_to_every_buyer(
    client: httpx.Client, workshop: Workshop, soy: str
) -> None:
    """Pours with how much of it each took, jars, orders, buyers."""
    known = trace.follow(workshop, soy)
    told = words(client.get(f"/trace/{soy}").text)
    assert len(known.jars) > 2
    for text in (
        *(f"pour {pour.id}" for pour in known.pours),
        *(lot.code for lot in known.jars),
        *(sale.buyer for sale in known.sales),
    ):
        assert text in told


def test_an_order_is_followed_to_the_lots_in_its_jars(
    client: httpx.Client, workshop: Workshop
) -> None:
    """Also one of which nothing is picked yet; a pour can be asked for by its number."""
    for order in orders.listing(workshop):
        known = trace.follow(workshop, order.code)
        answer = client.get(f"/trace/{order.code}")
        assert answer.status_code == 200
        told = words(answer.text)
        assert all(jar.code in told for jar in known.jars)
        assert all(lot.code in told for lot in known.lots)
        assert ("nothing is picked yet" in told) == (not known.sales)
    for pour in pours.listing(workshop):
        assert client.get(f"/trace/{pour.id}").status_code == 200


def test_what_is_no_code_of_ours_is_looked_for(client: httpx.Client) -> None:
    """A supplier's code in the address leads to the search; what is not there is not there."""
    answer = client.get("/trace/MS-2209")
    assert answer.headers["location"] == "/trace?code=MS-2209"
    assert client.get("/trace/999").status_code == 404
    assert client.get("/trace/M999-9").status_code in {303, 404}


def test_the_recall_list_adds_up_on_the_page_in_the_table_and_on_paper(
    client: httpx.Client, workshop: Workshop, soy: str
) -> None:
    """Every jar made is somewhere; jars on the shelf, buyers, and jars with no known buyer."""
    jar_moves.take(workshop, jars.latest(workshop, 1)[0].code, {"jars": "2", "fate": "broken"})
    known = trace.recall(workshop, soy)
    page = client.get(f"/trace/{soy}/recall").text
    sums = page[page.index('class="sums"') :]
    sums = sums[: sums.index("</table>")]
    *parts, made = [
        int(text.replace("−", "-")) for text in re.findall(r'<td class="n">([−\d]+)</td>', sums)
    ]
    assert sum(parts) == made == known.sum.made
    told = words(page)
    assert "Sold, the buyer not known 3" in told
    assert "No buyer’s name is known: 3 jars" in told
    assert "gallery@example.com" in told
    assert "2 broken" in words(client.get(f"/trace/{soy}").text)
    assert "is for local law" in told
    assert "Stop pour 7" in told
    assert not re.search(r"\b(complies|safe)\b", told)

    sheet = client.get(f"/trace/{soy}/recall.csv")
    assert sheet.headers["content-type"].startswith("text/csv")
    assert sheet.headers["content-disposition"] == f'attachment; filename="recall-{soy}.csv"'
    rows = list(csv.DictReader(io.StringIO(sheet.content.decode("utf-8-sig"))))
    assert sum(int(row["Jars"]) for row in rows) == made

    paper = client.get(f"/trace/{soy}/recall.pdf")
    assert paper.headers["content-type"] == "application/pdf"
    read = Pages(paper.content).words
    assert f"Jars touched {made}" in read
    assert f"Still here {known.sum.in_hand + known.sum.picked}" in read
    assert f"Sold {known.sum.sold}" in read
    assert "not written down" in read
    assert "MS-2209" in read


def test_jars_picked_for_an_order_are_still_here(client: httpx.Client, workshop: Workshop) -> None:
    """They can be set apart, and the list says for whom they wait."""
    order = next(o for o in orders.listing(workshop) if o.buyer == "Gifts of Nowhere").code
    typed = {f"pick.{p.line}.{n.lot}": str(n.jars) for p in orders.proposal(workshop, order)
             for n in p.lots}  # fmt: skip
    orders.pick(workshop, order, typed)
    lot = next(iter(typed)).split(".")[2]
    known = trace.recall(workshop, lot)
    page = client.get(f"/trace/{lot}/recall").text
    assert known.sum.picked > 0
    assert f"{known.sum.in_hand + known.sum.picked} still here" in words(page)
    assert f"picked for {order}, Gifts of Nowhere" in words(page).replace(" ,", ",")
    assert f"held for {order}" in Pages(client.get(f"/trace/{lot}/recall.pdf").content).words


def test_a_lot_in_no_jar_and_an_order_have_no_list(client: httpx.Client) -> None:
    """The first says so; the second is refused with a way on."""
    assert "No jar is touched" in client.get("/trace/M7-8/recall").text
    assert client.get("/trace/M7-8/recall.pdf").status_code == 200
    answer = client.get("/trace/S4-3/recall")
    assert answer.status_code == 409
    assert "is no lot" in answer.text


def test_a_script_or_a_formula_in_a_name_is_only_words(
    client: httpx.Client, workshop: Workshop
) -> None:
    """Supplier, their lot, who poured, note, buyer and contact, on every page and in the table."""
    lot = receiving.receive(
        workshop,
        {
            "supplier": SCRIPT,
            "lines.0.material": "millpond-soy",
            "lines.0.packs": "1",
            "lines.0.pack": "20 kg",
            "lines.0.price": "30",
            "lines.0.supplier_lot": FORMULA + SCRIPT,
            "lines.0.expires": (workshop.today() + timedelta(days=1)).isoformat(),
        },
    ).lots[0]
    pour = pours.plan(workshop, "slipway", {"jars": "4"}, workshop.today()).id
    pours.start(workshop, pour, {"person": SCRIPT})
    working.start(workshop, pour, "Wick, pour, straighten", SCRIPT + "2")
    made = pours.finish(workshop, pour, {"note": SCRIPT}).jar_lot
    assert lots.get(workshop, lot.code).line.left.units < lot.left.units
    sold = {"lot": made, "jars": "2", "channel": "saturday-market", "price": "9", "buyer": FORMULA}
    order = orders.sell(workshop, sold | {"contact": SCRIPT, "curing": "yes"}).line.code
    for place in (
        f"/trace/{made}", f"/trace/{lot.code}", f"/trace/{order}", f"/trace/{pour}",
        f"/trace/{made}/recall", f"/trace/{lot.code}/recall", "/trace?code=hyperlink",
        f"/pours/{pour}", "/trace",
    ):  # fmt: skip
        answer = client.get(place, follow_redirects=True)
        assert answer.status_code == 200, place
        assert SCRIPT not in answer.text, place
    rows = client.get(f"/trace/{lot.code}/recall.csv").content.decode("utf-8-sig")
    assert f'"\'{FORMULA}"' in rows
    assert f'"{FORMULA}"' not in rows
    assert client.get(f"/trace/{made}/recall.pdf").status_code == 200


def test_the_recall_list_prints_black_on_white_without_its_furniture(page: Page) -> None:
    """No navigation, no buttons; every column of its tables."""
    page.goto("/trace/M35-9/recall")
    page.emulate_media(media="print", color_scheme="light")
    assert not page.locator(".within").is_visible()
    assert not page.get_by_role("link", name="List for paper").is_visible()
    assert page.get_by_role("heading", name="Still here").is_visible()
    colour = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert colour == "rgb(255, 255, 255)"


def test_a_recall_of_cartons_tells_who_has_them(client: httpx.Client, workshop: Workshop) -> None:
    """On the thread, on the page, as a table and on paper: orders, buyers, jars and pieces."""
    (hit,) = trace.find(workshop, "KC-14").hits
    known = trace.recall(workshop, hit.code)
    assert known.packed
    assert "No jar is touched" not in client.get(f"/trace/{hit.code}/recall").text
    paper = Pages(client.get(f"/trace/{hit.code}/recall.pdf").content).words
    for address in (f"/trace/{hit.code}", f"/trace/{hit.code}/recall"):
        page = client.get(address).text
        told = words(page[page.index('id="packed"') :])
        for one in known.packed:
            assert f"{one.order} {one.buyer} {one.contact}" in told
            assert f"{' '.join(one.jar_lots)} {one.jars} {one.lot} {one.pieces.units}" in told
            assert one.order in paper
            assert one.contact in paper
    pieces = sum(one.pieces.units for one in known.packed)
    said = words(client.get(f"/trace/{hit.code}/recall").text)
    assert f"2 orders packed in it: {pieces} pieces." in said
    assert "2 buyers below have jars packed in it." in said
    table = list(csv.DictReader(io.StringIO(client.get(f"/trace/{hit.code}/recall.csv").text)))
    assert {row["Order"] for row in table} == {one.order for one in known.packed}
    assert sum(int(row["Jars"]) for row in table) == sum(one.jars for one in known.packed)


def test_an_order_leads_back_to_what_it_was_packed_in(
    client: httpx.Client, workshop: Workshop
) -> None:
    """Among its lots, and on the thread itself."""
    (hit,) = trace.find(workshop, "KC-14").hits
    order = trace.recall(workshop, hit.code).packed[0].order
    page = client.get(f"/trace/{order}").text
    assert "Every lot in its jars, and what they were packed in" in page
    assert f'href="/lots/{hit.code}"' in page[page.index('id="lots"') :]
    assert f'href="/trace/{hit.code}"' in page[: page.index('id="thread-table"')]

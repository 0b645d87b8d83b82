"""Lots and jars as pages: what is booked, what is refused, and the way back."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal
from itertools import groupby

import httpx
import pytest

from rushlight.web.guard import BODY_LIMIT, FILE_LIMIT, body_limit
from rushlight.workshop import Workshop, undo
from rushlight.workshop.stores import jars, lots, orders, receiving
from rushlight.workshop.stores.codes import jar_code, order_code, stock_code
from tests.support.forms import Form

PDF = b"%PDF-1.7\n% an invented certificate\n"
UNPRICED = {
    "supplier": "The Imaginary Wax Barn",
    "lines.0.material": "Millpond soy",
    "lines.0.packs": "10",
    "lines.0.pack": "10 kg",
}
PLACES = ("/receiving", "/receiving/new", "/lots", "/lots?empty=yes", "/jars", "/jars?empty=yes")


@pytest.fixture
def soy(workshop: Workshop) -> str:
    """Return the lot of soy that expires first; a running pour holds some of it."""
    return lots.listing(workshop, "millpond-soy")[0].code


@pytest.fixture
def slipway(workshop: Workshop) -> str:
    """Return the oldest jars of Slipway: cured, and some of them sold."""
    return jars.listing(workshop, candle="slipway")[0].code


def left(shop: Workshop, code: str) -> int:
    """Return what is left of a lot of a material [mg or pieces]."""
    return lots.get(shop, code).line.left.units


@pytest.mark.parametrize("place", PLACES)
def test_each_list_is_a_page_within_the_stores(client: httpx.Client, place: str) -> None:
    """The place within the stores is marked, and so is Stores itself."""
    answer = client.get(place)
    assert answer.status_code == 200
    assert answer.text.count("<h1>") == 1
    assert 'aria-current="page"' in answer.text or 'aria-current="true"' in answer.text


def test_lots_are_listed_by_when_they_expire_and_by_material(
    workshop: Workshop, client: httpx.Client
) -> None:
    """The first to expire is the first row; a name in any case chooses, and is kept."""
    codes = re.findall(r'class="code" href="/lots/([^"]+)"', client.get("/lots").text)
    assert codes == [line.code for line in lots.listing(workshop)]
    page = client.get("/lots?of=millpond+SOY")
    shown = re.findall(r'class="code" href="/lots/([^"]+)"', page.text)
    assert shown == [line.code for line in lots.listing(workshop, "millpond-soy")]
    assert Form(page.text).fields["of"] == "Millpond soy"
    assert client.get("/lots?of=millpond-soy").text.count('href="/lots/M') == len(shown)
    assert client.get("/lots?of=moon-dust").status_code == 404


def test_a_lot_says_where_it_is_from_what_is_held_and_what_happened(
    workshop: Workshop, client: httpx.Client, soy: str
) -> None:
    """The lot that a running pour holds some of."""
    view = lots.get(workshop, soy)
    page = Form(client.get(f"/lots/{soy}").text)
    assert view.line.supplier_lot in page.words
    assert "held for running pours" in page.words
    assert f"/receiving/{view.delivery}" in page.links
    assert f"/trace/{soy}" in page.links
    assert sum(link.startswith("/pours/") for link in page.links) >= sum(
        move.pour is not None for move in view.moves
    )


@pytest.mark.parametrize("kind", ["lots", "jars", "orders"])
@pytest.mark.parametrize(
    ("code", "what"),
    [
        ("M35-8", "slip in it"),  # the lot of soy is M35-9
        ("261101-01-8", "slip in it"),
        ("S1-8", "slip in it"),
        ("banana", "not a code of ours"),
        ("x" * 900, "not a code of ours"),
        ("%00", "not a code of ours"),
        ("<script>", "not a code of ours"),
    ],
)
def test_a_code_with_a_slip_is_no_code_and_says_so(
    client: httpx.Client, kind: str, code: str, what: str
) -> None:
    """She reads it again, digit by digit, rather than looking for it elsewhere."""
    answer = client.get(f"/{kind}/{code}")
    assert answer.status_code == 422
    page = Form(answer.text)
    assert what in page.words
    assert "again" in page.words or "label" in page.words


@pytest.mark.parametrize("kind", ["lots", "jars", "orders"])
@pytest.mark.parametrize(
    "code", [stock_code(999_999), jar_code(date(1999, 1, 1), 77), order_code(999_999)]
)
def test_a_code_of_nothing_is_not_there(client: httpx.Client, kind: str, code: str) -> None:
    """A good code of ours, and nothing has it."""
    answer = client.get(f"/{kind}/{code}")
    assert answer.status_code == 404
    assert code in Form(answer.text).words


def test_a_code_may_be_typed_in_any_fashion(client: httpx.Client, soy: str) -> None:
    """Dashes, spaces and case do not matter."""
    for typed in (soy.lower(), soy.replace("-", ""), soy.replace("-", " ")):
        assert client.get(f"/lots/{typed}").status_code == 200


def test_what_was_counted_is_booked_and_taken_back(
    workshop: Workshop, client: httpx.Client, soy: str
) -> None:
    """A count once, whatever the fingers do; undone from the page of deeds."""
    was = left(workshop, soy)
    form = {"move": "count", "amount": "13.5 kg", "note": "weighed", "key": "one-touch"}
    for _ in range(2):
        assert client.post(f"/lots/{soy}/move", data=form).status_code == 303
    assert left(workshop, soy) == 13_500_000
    assert sum("weighed" in m.note for m in lots.get(workshop, soy).moves) == 1
    client.post(f"/undo/{undo.listing(workshop)[0].id}", data={})
    assert left(workshop, soy) == was


def test_some_of_a_lot_is_thrown_away(workshop: Workshop, client: httpx.Client, soy: str) -> None:
    """Its cost goes along, and the page says both."""
    was = left(workshop, soy)
    client.post(f"/lots/{soy}/move", data={"move": "scrap", "amount": "400 g", "note": "spilt"})
    assert left(workshop, soy) == was - 400_000
    page = Form(client.get(f"/lots/{soy}").text)
    assert "scrapped, spilt" in page.words
    assert "−400 g" in page.words


@pytest.mark.parametrize(
    ("form", "place"),
    [
        ({"move": "scrap", "amount": "999 kg"}, "amount"),
        ({"move": "scrap", "amount": "8 fl oz"}, "amount"),
        ({"move": "count", "amount": ""}, "amount"),
        ({"move": "count", "amount": "2 kg", "note": "x" * 6000}, "note"),
    ],
)
def test_a_slip_in_a_count_is_said_at_its_field(
    workshop: Workshop, client: httpx.Client, soy: str, form: dict[str, str], place: str
) -> None:
    """Nothing moves, and nothing typed is lost."""
    was = left(workshop, soy)
    answer = client.post(f"/lots/{soy}/move", data=form)
    assert answer.status_code == 422
    page = Form(answer.text)
    assert page.wrong(place)
    assert {k: page.fields[k] for k in form} == form
    assert left(workshop, soy) == was


def test_a_move_that_is_none_is_refused(workshop: Workshop, client: httpx.Client, soy: str) -> None:
    """Neither counted nor thrown away."""
    was = left(workshop, soy)
    answer = client.post(f"/lots/{soy}/move", data={"move": "eat", "amount": "1 kg"})
    assert answer.status_code == 422
    assert "was not said" in Form(answer.text).words
    assert left(workshop, soy) == was


def test_a_lot_without_a_cost_says_so_and_takes_one(
    workshop: Workshop, client: httpx.Client
) -> None:
    """Never 0: not known, until it is noted; half is left, so half of it is worth that half."""
    place = client.post("/receiving", data=UNPRICED).headers["location"]
    code = receiving.get(workshop, int(place.rsplit("/", 1)[1])).lots[0].code
    page = Form(client.get(f"/lots/{code}").text)
    assert "not known" in page.words
    assert page.wrong("cost") == ""
    client.post(f"/lots/{code}/move", data={"move": "scrap", "amount": "50 kg", "note": "wet"})
    wrong = client.post(f"/lots/{code}/worth", data={"cost": "lots"})
    assert wrong.status_code == 422
    assert Form(wrong.text).wrong("cost")
    assert Form(wrong.text).fields["cost"] == "lots"
    for _ in range(2):
        told = client.post(f"/lots/{code}/worth", data={"cost": "500", "key": "once"})
        assert told.status_code == 303
    assert lots.get(workshop, code).line.worth == Decimal(250)


def test_a_certificate_is_kept_with_its_lot_and_only_handed_out(
    client: httpx.Client, soy: str, slipway: str
) -> None:
    """As what its first bytes say, for download, never sniffed, never run, of this lot alone."""
    for _ in range(2):
        sent = client.post(
            f"/lots/{soy}/file",
            files={"file": ("../coa<b>.html", PDF, "text/html")},
            data={"key": "once"},
        )
        assert sent.status_code == 303, sent.text[:500]
    page = client.get(f"/lots/{soy}").text
    found = re.findall(rf'href="(/lots/{soy}/file/\d+)"', page)
    assert len(found) == 1
    assert "<b>" not in page[page.index('id="files"') :]
    answer = client.get(found[0])
    assert answer.content == PDF
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-disposition"].startswith("attachment;")
    assert "sandbox" in answer.headers["content-security-policy"]
    other = found[0].replace(soy, "M1-9")
    assert client.get(other).status_code == 404
    assert client.get(f"/lots/{soy}/file/999999").status_code == 404
    assert client.get(f"/lots/{slipway}/file/1").status_code == 404


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("sheet.pdf", b"<html><script>alert(1)</script>"),
        ("sheet.pdf", b""),
        ("picture.svg", b"<svg onload='alert(1)'/>"),
        ("list.csv", b"a,b\n1,2\n"),
    ],
)
def test_a_file_that_can_act_is_refused_whatever_its_name(
    client: httpx.Client, soy: str, name: str, content: bytes
) -> None:
    """What a file is, its first bytes say."""
    answer = client.post(f"/lots/{soy}/file", files={"file": (name, content, "application/pdf")})
    assert answer.status_code == 422
    assert Form(answer.text).wrong("file")


def test_only_where_files_go_may_much_be_sent(client: httpx.Client, soy: str) -> None:
    """Two megabytes of a certificate, no more than one of a form."""
    assert body_limit(f"/lots/{soy}/file") == FILE_LIMIT
    for path in (f"/lots/{soy}/move", f"/lots/{soy}/file/1", "/receiving", "/lots/a/b/file"):
        assert body_limit(path) == BODY_LIMIT
    scan = PDF + b"0" * 2_000_000
    assert client.post(f"/lots/{soy}/file", files={"file": ("a.pdf", scan)}).status_code == 303
    assert client.post(f"/lots/{soy}/move", content=b"x" * (BODY_LIMIT + 1)).status_code == 413
    assert client.post("/receiving", data={"note": "x" * 1_100_000}).status_code == 413
    assert client.post(f"/lots/{soy}/file", content=b"x" * (FILE_LIMIT + 1)).status_code == 413


def test_jars_are_listed_by_what_they_are_ready_for(client: httpx.Client) -> None:
    """Ready, then curing, then gone where those are asked for too."""
    page = client.get("/jars?empty=yes").text
    heads = re.findall(r"<h2>(\w+)", page)
    assert heads == [h for h in ("Ready", "Curing", "Gone") if h in heads]
    assert {"Ready", "Curing"} <= set(heads)
    one = client.get("/jars?of=slipway").text
    assert "Reed bed" not in one[one.index("</form>") :]


def test_jars_are_taken_once_and_brought_back(
    workshop: Workshop, client: httpx.Client, slipway: str
) -> None:
    """Two for testing, by one touch and a nervous second one; then undone."""
    was = jars.get(workshop, slipway).line.left
    form = {"jars": "2", "fate": "testing", "note": "hot throw", "key": "one-touch"}
    for _ in range(2):
        assert client.post(f"/jars/{slipway}/take", data=form).status_code == 303
    assert jars.get(workshop, slipway).line.left == was - 2
    assert "hot throw" in Form(client.get(f"/jars/{slipway}").text).words
    client.post(f"/undo/{undo.listing(workshop)[0].id}", data={})
    assert jars.get(workshop, slipway).line.left == was


@pytest.mark.parametrize("fate", ["testing", "given", "broken"])
def test_each_fate_of_a_jar_is_told_apart(
    workshop: Workshop, client: httpx.Client, slipway: str, fate: str
) -> None:
    """Taken, given or broken: one less, with its cost."""
    was = jars.get(workshop, slipway).line.left
    client.post(f"/jars/{slipway}/take", data={"jars": "1", "fate": fate})
    view = jars.get(workshop, slipway)
    assert view.line.left == was - 1
    assert view.moves[0].reason == fate


@pytest.mark.parametrize(
    ("form", "place"),
    [
        ({"jars": "500", "fate": "given"}, "jars"),
        ({"jars": "", "fate": "given"}, "jars"),
        ({"jars": "0", "fate": "given"}, "jars"),
        ({"jars": "1.5", "fate": "given"}, "jars"),
        ({"jars": "-3"}, "count.jars"),
        ({"jars": "1", "order": ""}, "back.order"),
        ({"jars": "1", "order": "S1-8"}, "back.order"),
        ({"jars": "1", "order": order_code(999)}, "back.order"),
    ],
)
def test_a_slip_with_jars_is_said_at_its_field(
    workshop: Workshop, client: httpx.Client, slipway: str, form: dict[str, str], place: str
) -> None:
    """In the form it was made in, which is open; nothing moves, nothing typed is lost."""
    was = jars.get(workshop, slipway).line.left
    move = place.rpartition(".")[0] or "take"
    answer = client.post(f"/jars/{slipway}/{move}", data=form)
    assert answer.status_code == 422
    assert Form(answer.text).wrong(place)
    assert ("<details open>" in answer.text) == (move != "take")
    for value in form.values():
        assert f'value="{value}"' in answer.text
    assert jars.get(workshop, slipway).line.left == was


def test_jars_come_back_from_the_order_they_were_in(
    workshop: Workshop, client: httpx.Client, slipway: str
) -> None:
    """One of the six that the gallery had."""
    gallery = next(o.code for o in orders.listing(workshop) if "Gallery" in o.buyer)
    was = jars.get(workshop, slipway).line.left
    form = {"jars": "1", "order": gallery, "note": "unsold"}
    assert client.post(f"/jars/{slipway}/back", data=form).status_code == 303
    assert jars.get(workshop, slipway).line.left == was + 1
    assert jars.get(workshop, slipway).moves[0].order == gallery


def test_jars_are_counted(workshop: Workshop, client: httpx.Client, slipway: str) -> None:
    """The difference is booked."""
    form = {"jars": "7", "note": "two behind the shelf"}
    assert client.post(f"/jars/{slipway}/count", data=form).status_code == 303
    assert jars.get(workshop, slipway).line.left == 7


def test_something_else_cannot_be_done_with_jars(client: httpx.Client, slipway: str) -> None:
    """Said calmly."""
    assert client.post(f"/jars/{slipway}/eat", data={"jars": "1"}).status_code == 404


def test_the_stores_say_what_the_week_brings(workshop: Workshop, client: httpx.Client) -> None:
    """What is low, what expires, what comes out of cure, what is to be sent."""
    page = Form(client.get("/stores").text)
    soon = [
        line
        for line in jars.listing(workshop)
        if timedelta() <= line.ready_on - workshop.today() <= timedelta(days=7)
    ]
    assert soon
    for line in soon:
        assert f"/jars/{line.code}" in page.links
    for words in ("Out of cure", "Ready to sell", "Orders to send", "Use soon"):
        assert words in page.words
    past = next(line for line in lots.listing(workshop) if line.supplier_lot == "LM-5")
    assert f"/lots/{past.code}" in page.links
    assert "past its date" in page.words


def test_the_parts_of_a_jars_cost_come_to_what_it_cost(
    workshop: Workshop, client: httpx.Client
) -> None:
    """Both columns, in whole pence, of every lot whose cost is known."""
    known = [line for line in jars.listing(workshop, empty=True) if line.cost is not None]
    assert known
    for line in known:
        page = client.get(f"/jars/{line.code}").text
        rows = re.findall(
            r"<td class=\"n\">£([\d.]+)</td><td class=\"n\">£([\d.]+)</td></tr>", page
        )
        *parts, total = [(Decimal(whole), Decimal(each)) for whole, each in rows]
        assert [sum(column) for column in zip(*parts, strict=True)] == list(total)
        assert f"What a jar cost: £{total[1]}" in Form(page).words


def test_what_was_done_stands_under_its_day(workshop: Workshop, client: httpx.Client) -> None:
    """The latest hundred, each once; every page leads there."""
    page = Form(client.get("/done").text)
    dates = [deed.at.date() for deed in undo.listing(workshop, limit=100)]
    days = [day for day, _ in groupby(dates)]
    assert len(days) > 1
    for day in days:
        assert f"{day:%a} {day.day} {day:%b %Y}" in page.words
    assert page.words.count("Way back") == len(days)
    assert "/done" in Form(client.get("/lots").text).links

"""Stocktakes as pages: begun, counted shelf by shelf, booked with a reason, and undone."""

from __future__ import annotations

import re

import httpx
import pytest

from rushlight.workshop import Workshop, undo
from rushlight.workshop.stores import jar_moves, jars, lots, stocktakes
from tests.support.forms import Form
from tests.support.pages import Pages


@pytest.fixture
def open_one(workshop: Workshop) -> int:
    """Return a stocktake of everything, nothing counted."""
    return stocktakes.begin(workshop, {"of": "both"}).line.id


@pytest.fixture
def blind(workshop: Workshop) -> int:
    """Return a blind stocktake of the jars."""
    return stocktakes.begin(workshop, {"of": "jars", "blind": "yes"}).line.id


def field(shop: Workshop, number: int, code: str) -> str:
    """Return the name of the field that a lot is counted in."""
    found = next(line for line in stocktakes.get(shop, number).lines if line.code == code)
    return f"line.{found.id}"


def soy(shop: Workshop) -> str:
    """Return the lot of soy that expires first."""
    return lots.listing(shop, "millpond-soy")[0].code


def test_a_stocktake_is_begun_once(workshop: Workshop, client: httpx.Client) -> None:
    """Of one role, blind; two touches are one stocktake, and it can be undone."""
    form = {"of": "materials", "role": "wax", "blind": "yes", "key": "one"}
    first, second = (client.post("/stocktakes", data=form) for _ in range(2))
    assert first.headers["location"] == second.headers["location"]
    assert len(stocktakes.listing(workshop)) == 1
    page = Form(client.get(first.headers["location"]).text)
    assert "blind" in page.words
    assert "Millpond soy" in page.words
    assert "Salt timber" not in page.words
    assert "wax, blind" in Form(client.get("/stocktakes").text).words
    client.post(f"/undo/{undo.listing(workshop)[0].id}", data={})
    assert client.get(first.headers["location"]).status_code in {200, 404}
    assert all(s.state != "open" for s in stocktakes.listing(workshop))


@pytest.mark.parametrize(
    ("form", "place"),
    [({"of": "ghosts"}, "of"), ({"of": "materials", "role": "ghost"}, "role")],
)
def test_a_stocktake_of_nothing_there_is_is_refused(
    workshop: Workshop, client: httpx.Client, form: dict[str, str], place: str
) -> None:
    """In its place."""
    answer = client.post("/stocktakes", data=form)
    assert answer.status_code == 422
    assert Form(answer.text).wrong(place)
    assert Form(answer.text).fields[place] == form[place]
    assert not stocktakes.listing(workshop)


def test_blind_is_blind_until_it_is_booked(
    workshop: Workshop, client: httpx.Client, blind: int
) -> None:
    """Neither the page nor its source nor the paper says what the books hold."""
    count = {field(workshop, blind, line.code): str(line.left) for line in jars.listing(workshop)}
    short = jars.listing(workshop, candle="slipway")[0]
    count[field(workshop, blind, short.code)] = str(short.left - 1)
    for _ in range(2):
        page = client.get(f"/stocktakes/{blind}").text
        table = page[page.index('id="count"') : page.index("</table>")]
        assert "The books hold" not in page
        assert "Differs" not in page
        for text in re.findall(r"<td[^>]*>([^<]*)", table):
            assert not re.fullmatch(r"\s*\d+\s*", text)
        words = Pages(client.get(f"/stocktakes/{blind}/sheet.pdf").content).words
        assert short.code in words
        assert "books hold" not in words.lower()
        assert client.post(f"/stocktakes/{blind}/enter", data=count).status_code == 303
    assert client.post(f"/stocktakes/{blind}/book", data={"reason": "one broke"}).is_redirect
    page = client.get(f"/stocktakes/{blind}").text
    assert "The books hold" in page
    assert "Why: one broke." in Form(page).words
    assert jars.get(workshop, short.code).line.left == short.left - 1


def test_counts_are_entered_shelf_by_shelf_and_kept_as_typed(
    workshop: Workshop, client: httpx.Client, open_one: int
) -> None:
    """What she typed stands in the field again; the shelf she was at is shown again."""
    at = field(workshop, open_one, soy(workshop))
    there = f"/stocktakes/{open_one}"
    answer = client.post(f"{there}/enter?role=wax&page=1", data={at: "13 litres"})
    assert answer.status_code == 422
    assert Form(answer.text).wrong(at)
    assert Form(answer.text).fields[at] == "13 litres"
    answer = client.post(f"{there}/enter?role=wax&page=1", data={at: "13.5 kg"})
    assert answer.headers["location"].startswith(f"{there}?role=wax")
    page = Form(client.get(answer.headers["location"]).text)
    assert page.fields[at] == "13.5 kg"
    assert "1 of " in page.words
    assert lots.get(workshop, soy(workshop)).line.left.units != 13_500_000  # not booked yet


def test_a_count_is_booked_with_its_reason_and_undone(
    workshop: Workshop, client: httpx.Client, open_one: int
) -> None:
    """A reason is needed where anything differs; booking twice books once; undo opens it again."""
    code = soy(workshop)
    was = lots.get(workshop, code).line.left.units
    there = f"/stocktakes/{open_one}"
    client.post(f"{there}/enter", data={field(workshop, open_one, code): "13.5 kg"})
    refused = client.post(f"{there}/book", data={"reason": ""})
    assert refused.status_code == 422
    assert Form(refused.text).wrong("reason")
    assert lots.get(workshop, code).line.left.units == was
    for _ in range(2):
        told = client.post(f"{there}/book", data={"reason": "spilt", "key": "once"})
        assert told.status_code == 303
    assert lots.get(workshop, code).line.left.units == 13_500_000
    page = Form(client.get(there).text)
    assert "Why: spilt." in page.words
    assert "line." not in "".join(page.fields)
    assert f"/stocktakes/{open_one}" in Form(client.get(f"/lots/{code}").text).links
    again = client.post(f"{there}/enter", data={field(workshop, open_one, code): "1 kg"})
    assert again.status_code == 409
    client.post(f"/undo/{undo.listing(workshop)[0].id}", data={})
    assert lots.get(workshop, code).line.left.units == was
    assert stocktakes.get(workshop, open_one).line.state == "open"


def test_what_moved_since_it_was_counted_is_asked_about(
    workshop: Workshop, client: httpx.Client, blind: int
) -> None:
    """A jar was taken between the count and the booking: she says what holds."""
    lot = jars.listing(workshop, candle="slipway")[0]
    there = f"/stocktakes/{blind}"
    at = field(workshop, blind, lot.code)
    client.post(f"{there}/enter", data={at: str(lot.left)})
    jar_moves.take(workshop, lot.code, {"jars": "1", "fate": "given"})
    assert "1 moved since" in Form(client.get(there).text).words.replace("−", "")
    asked = client.post(f"{there}/book", data={"reason": "as counted"})
    assert asked.status_code == 422
    assert 'name="moved"' in asked.text
    assert Form(asked.text).fields["reason"] == "as counted"
    told = {"reason": "as counted", "moved": "as counted"}
    assert client.post(f"{there}/book", data=told).status_code == 303


def test_a_lot_found_beside_the_sheet_comes_onto_it(
    workshop: Workshop, client: httpx.Client, blind: int
) -> None:
    """By its code; one that is none is said at the field, and what was typed stays."""
    there = f"/stocktakes/{blind}"
    for code in ("banana", "261101-01-8", soy(workshop)):
        wrong = client.post(f"{there}/enter", data={"found": code, "found_amount": "2"})
        assert wrong.status_code == 422
        assert Form(wrong.text).wrong("found")
        assert Form(wrong.text).fields["found"] == code
        assert "<details open>" in wrong.text
    lot = jars.listing(workshop)[0].code
    assert client.post(f"{there}/enter", data={"found": lot, "found_amount": "2"}).is_redirect
    assert "1 of " in Form(client.get(there).text).words


def test_a_stocktake_is_given_up(workshop: Workshop, client: httpx.Client, open_one: int) -> None:
    """Nothing of it is booked, and nothing more is counted in it."""
    there = f"/stocktakes/{open_one}"
    at = field(workshop, open_one, soy(workshop))
    client.post(f"{there}/enter", data={at: "1 kg"})
    was = lots.get(workshop, soy(workshop)).line.left
    assert client.post(f"{there}/abandon", data={}).status_code == 303
    assert lots.get(workshop, soy(workshop)).line.left == was
    assert "abandoned" in Form(client.get(there).text).words
    assert client.post(f"{there}/book", data={"reason": "x"}).status_code == 409


def test_nothing_counted_books_nothing(client: httpx.Client, open_one: int) -> None:
    """Refused in words."""
    answer = client.post(f"/stocktakes/{open_one}/book", data={"reason": "none"})
    assert answer.status_code == 409
    assert "Nothing is counted yet" in Form(answer.text).words


@pytest.mark.parametrize("paper", ["", "?paper=Letter", "?paper=%00"])
def test_the_counting_sheet_is_a_pdf(
    workshop: Workshop, client: httpx.Client, open_one: int, paper: str
) -> None:
    """Every lot on it, with a line to write on; shown in the browser under its own name."""
    answer = client.get(f"/stocktakes/{open_one}/sheet.pdf{paper}")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["x-content-type-options"] == "nosniff"
    told = f'inline; filename="stocktake-{open_one}.pdf"'
    assert answer.headers["content-disposition"] == told
    words = Pages(answer.content).words
    for line in stocktakes.get(workshop, open_one).lines:
        assert line.code in words


@pytest.mark.parametrize("query", ["role=ghost", "page=0", "page=-7", "page=99999", "role=%00"])
def test_a_shelf_that_is_not_there_is_the_first(
    client: httpx.Client, open_one: int, query: str
) -> None:
    """Never a crash, never an empty page."""
    answer = client.get(f"/stocktakes/{open_one}?{query}")
    assert answer.status_code == 200
    assert 'name="line.' in answer.text


@pytest.mark.parametrize("number", ["0", "-1", "999999", "9" * 30, "x"])
def test_a_stocktake_that_is_not_there_is_not_there(client: httpx.Client, number: str) -> None:
    """Said calmly, whatever is asked of it."""
    assert client.get(f"/stocktakes/{number}").status_code == 404
    assert client.get(f"/stocktakes/{number}/sheet.pdf").status_code == 404
    for act in ("enter", "book", "abandon"):
        assert client.post(f"/stocktakes/{number}/{act}", data={}).status_code in {404, 422}


def test_something_else_cannot_be_done_with_a_stocktake(
    client: httpx.Client, open_one: int
) -> None:
    """Said calmly."""
    assert client.post(f"/stocktakes/{open_one}/eat", data={}).status_code == 404
    assert client.post(f"/stocktakes/{open_one}/enter?page=x", data={}).status_code == 422


def test_what_differs_is_seen_in_one_place(
    workshop: Workshop, client: httpx.Client, blind: int
) -> None:
    """Of all shelves: on being asked while it is blind, and first of all once it is booked."""
    there, lot = f"/stocktakes/{blind}", jars.listing(workshop, candle="slipway")[0]
    client.post(f"{there}/enter", data={field(workshop, blind, lot.code): str(lot.left - 1)})
    page = client.get(there).text
    assert "differs-table" not in page
    look = next(link for link in Form(page).links if "look=yes" in link)
    shown = client.get(look).text
    table = shown[shown.index('id="differs-table"') :]
    assert f"/jars/{lot.code}" in table
    assert lot.cost is not None
    assert f"−£{lot.cost:.2f}" in table[table.index("<tfoot>") :]
    client.post(f"{there}/book", data={"reason": "one fell"})
    booked = Form(client.get(there).text)
    assert booked.words.index("What differed") < booked.words.index("What was counted")
    assert f"−£{lot.cost:.2f}" in booked.words
    client.post(f"/undo/{undo.listing(workshop)[0].id}", data={})
    client.post(f"{there}/abandon", data={})
    assert "nothing of it was booked" in Form(client.get(there).text).words


def test_counting_goes_on_to_the_next_shelf(
    workshop: Workshop, client: httpx.Client, open_one: int
) -> None:
    """When all of a shelf is counted; a slip is called by the code of its lot."""
    there = f"/stocktakes/{open_one}"
    lines = stocktakes.get(workshop, open_one).lines
    additives = [line for line in lines if line.role == "additive"]
    told = {f"line.{line.id}": "1" for line in additives}
    answer = client.post(f"{there}/enter?role=additive&page=1", data=told)
    assert answer.headers["location"] == f"{there}?role=dye&page=1#count"
    wrong = client.post(f"{there}/enter?role=additive", data=dict.fromkeys(told, "much"))
    page = Form(wrong.text)
    assert f"to mend: {additives[0].code} : “much”" in page.words
    page = Form(client.get(f"{there}?role=wax").text)
    assert f"Counted of {soy(workshop)}, g" in page.words

"""In and out as pages: lists looked at before they are written, the archive, the calendar."""

from __future__ import annotations

import io
import re
import time
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager

import httpx
import icalendar
import pytest

from rushlight.heat.watch import Stopped
from rushlight.web.guard import BODY_LIMIT, FILE_LIMIT, body_limit
from rushlight.web.trays import KEPT, Trays
from rushlight.workshop import Workshop, materials, settings, undo
from rushlight.workshop.exchange import archive, backups
from rushlight.workshop.stores import orders, receiving
from tests.support.forms import Form

# Invented lists.
MATERIALS = (
    "Type;Material;Supplier;Pack size;Price\n"
    "wax;Harbour soy;The Imaginary Wax Barn;10 kg;49.00\n"
    "fragrance;Wet rope;Made-up Aromatics;250 g;14\n"
)
DELIVERIES = (
    "Date;Supplier;Item;Packs;Pack;Price;Lot\n"
    "2026-01-05;The Imaginary Wax Barn;Millpond soy;2;10 kg;52.00;MS-1\n"
)
ORDERS = (
    "Order;Channel;Customer;Date;Product;Quantity;Price\n"
    "A1;Shops, wholesale;Nobody;2026-01-05;Slipway;4;14.00\n"
)
LISTS = {"materials": MATERIALS, "deliveries": DELIVERIES, "orders": ORDERS.replace(", ", " ")}


def sent(client: httpx.Client, kind: str, text: str | bytes, name: str = "list.csv") -> str:
    """Send a list; return where it is looked at."""
    files = {"file": (name, text.encode() if isinstance(text, str) else text)}
    answer = client.post("/exchange/import", data={"kind": kind}, files=files)
    assert answer.status_code == 303, Form(answer.text).words[:600]
    return answer.headers["location"]


def mapped(page: str) -> dict[str, str]:
    """Return the hidden fields of the form that writes: the columns as they were guessed."""
    form = page[page.index("/write") :]
    return dict(re.findall(r'name="([\w.]+)" value="([^"]*)"', form[: form.index("</form>")]))


def test_materials_are_looked_at_then_written_once_then_undone(
    workshop: Workshop, client: httpx.Client
) -> None:
    """Nothing before she says so; one deed after, taken back in one go."""
    before = {line.name for line in materials.listing(workshop)}
    place = sent(client, "materials", MATERIALS)
    page = client.get(place).text
    assert "Nothing is written yet" in Form(page).words
    assert "2 new materials" in Form(page).words
    assert "Harbour soy" in Form(page).words
    assert {line.name for line in materials.listing(workshop)} == before
    form = mapped(page)
    assert {"role", "name", "pack", "price", "dates", "key"} <= form.keys()
    for _ in range(2):
        assert client.post(f"{place}/write", data=form).headers["location"] == "/done"
    added = {line.name for line in materials.listing(workshop)} - before
    assert added == {"Harbour soy", "Wet rope"}
    deed = undo.listing(workshop)[0]
    assert "Imported" in Form(client.get("/done").text).words
    client.post(f"/undo/{deed.id}", data={})
    assert {line.name for line in materials.listing(workshop)} == before


def test_deliveries_and_orders_come_in_too(workshop: Workshop, client: httpx.Client) -> None:
    """Each kind by its own columns."""
    came, wanted = len(receiving.deliveries(workshop)), len(orders.listing(workshop))
    place = sent(client, "deliveries", DELIVERIES)
    assert client.post(f"{place}/write", data=mapped(client.get(place).text)).is_redirect
    assert len(receiving.deliveries(workshop)) == came + 1
    text = ORDERS.replace("Shops, wholesale", '"Shops, wholesale"')
    place = sent(client, "orders", text)
    assert client.post(f"{place}/write", data=mapped(client.get(place).text)).is_redirect
    assert len(orders.listing(workshop)) == wanted + 1


def test_every_problem_is_told_by_row_and_nothing_is_written(
    workshop: Workshop, client: httpx.Client
) -> None:
    """Three rows, two of them wrong: neither the preview nor the button writes the third."""
    text = MATERIALS + "moonlight;Odd;Nobody;10 kg;5\nwax;Odder;Nobody;ten tons;5\n"
    place = sent(client, "materials", text)
    page = client.get(place)
    assert page.status_code == 200
    words = Form(page.text).words
    assert "problems to mend" in words
    table = page.text[page.text.index('id="problems"') :]
    rows = re.findall(r'<tr><td class="n">(\d+)</td>', table[: table.index("</table>")])
    assert set(rows) == {"4", "5"}
    assert "/write" not in page.text
    typed = {"role": "0", "name": "1", "supplier": "2", "pack": "3", "price": "4"}
    answer = client.post(f"{place}/write", data=typed)
    assert answer.status_code == 422
    assert "Harbour soy" not in {line.name for line in materials.listing(workshop)}


def test_the_columns_are_chosen_by_hand(client: httpx.Client) -> None:
    """A heading nobody knows is told as going nowhere, and can be given a field."""
    text = "Sort,What,Ref\nwax,Harbour soy,7\n"
    place = sent(client, "materials", text)
    first = client.get(place)
    assert "No column is" in Form(first.text).words or "Columns that go nowhere" in first.text
    typed = {"role": "0", "name": "1", "note": "2", "dates": "ymd"}
    again = client.post(place, data=typed)
    assert again.status_code == 200
    assert "1 new material" in Form(again.text).words
    kept = Form(again.text).fields
    assert {k: kept[k] for k in typed} == typed


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ({"role": "0", "name": "0", "dates": "ymd"}, "name"),
        ({"role": "0", "name": "99", "dates": "ymd"}, "name"),
        ({"name": "1", "dates": "ymd"}, "role"),
        ({"role": "0", "name": "1", "dates": "whenever"}, "dates"),
    ],
)
def test_a_mapping_with_a_slip_is_said_at_its_field(
    client: httpx.Client, typed: dict[str, str], place: str
) -> None:
    """Looking again, or writing all the same."""
    there = sent(client, "materials", MATERIALS)
    for path in (there, f"{there}/write"):
        answer = client.post(path, data=typed)
        assert answer.status_code == 422
        assert Form(answer.text).wrong(place)
        assert Form(answer.text).fields["role"] == typed.get("role", "")


@pytest.mark.parametrize(
    ("content", "what"),
    [
        (b"", "No file was chosen"),
        (b"   \n", "empty"),
        (PDF := b"%PDF-1.7\n", "a PDF"),
        (b"SQLite format 3\0" + bytes(200), "a database"),
        (b"MZ" + bytes(100), "a program"),
        ("Näme;x\n".encode("utf-16"), ""),
        (b"PK\x03\x04not a workbook", ""),
    ],
)
def test_what_is_no_list_is_refused_by_its_first_bytes(
    client: httpx.Client, content: bytes, what: str
) -> None:
    """At the field, whatever the name says; the kind chosen stays chosen."""
    files = {"file": ("list.csv", content, "text/csv")}
    answer = client.post("/exchange/import", data={"kind": "orders"}, files=files)
    if answer.status_code == 303:  # a text in another encoding may be read well
        assert content.startswith((b"\xff\xfe", b"\xfe\xff"))
        return
    assert answer.status_code == 422
    assert what in Form(answer.text).wrong("file")
    assert Form(answer.text).fields["kind"] == "orders"


def test_a_script_in_a_list_is_only_words(client: httpx.Client) -> None:
    """In a heading, in a cell, in a problem and in the name of the file."""
    script = "<script>alert(1)</script>"
    text = f'Type,Material,"{script}"\nwax,"{script}",1\n"{script}",Odd,1\n'
    place = sent(client, "materials", text, name=f"{script}.csv")
    for page in (client.get(place).text, client.post(place, data={"role": "2"}).text):
        assert script not in page
        assert "&lt;script&gt;" in page


@pytest.mark.parametrize("name", ["x", "../../etc/passwd", "%00", "A" * 500])
def test_a_list_that_is_not_kept_is_not_there(client: httpx.Client, name: str) -> None:
    """Said with what to do."""
    for answer in (
        client.get(f"/exchange/import/{name}"),
        client.post(f"/exchange/import/{name}/write", data={}),
    ):
        assert answer.status_code in {404, 405}


def test_what_to_do_is_said_where_a_list_is_not_kept(client: httpx.Client) -> None:
    """The program was closed meanwhile, perhaps."""
    assert "Choose the file again" in Form(client.get("/exchange/import/x").text).words


def test_the_oldest_list_is_given_up_for_a_newer_one(client: httpx.Client) -> None:
    """Only so many are kept at once, each under a name nobody can guess."""
    places = [sent(client, "materials", MATERIALS) for _ in range(KEPT + 1)]
    assert len(set(places)) == KEPT + 1
    assert client.get(places[0]).status_code == 404
    assert all(client.get(place).status_code == 200 for place in places[1:])


def test_only_the_place_of_lists_takes_more_than_a_form(client: httpx.Client) -> None:
    """A large list is read; whatever is beyond the limit is not even held."""
    assert body_limit("/exchange/import") == FILE_LIMIT
    assert body_limit("/exchange/import/x") == BODY_LIMIT
    assert body_limit("/exchange/export") == BODY_LIMIT
    long = (
        MATERIALS + "wax;Harbour soy;Nobody;10 kg;49\n" * 60_000
    )  # 1.5 MB, more rows than any list
    files = {"file": ("list.csv", long.encode())}
    assert client.post("/exchange/import", data={}, files=files).status_code == 422
    over = client.post("/exchange/import", content=b"x" * (FILE_LIMIT + 1))
    assert over.status_code == 413
    two = [("file", ("a.csv", b"a")), ("file", ("b.csv", b"b"))]
    assert client.post("/exchange/import", files=two).status_code in {400, 422}


def ended(client: httpx.Client, place: str) -> str:
    """Wait until the archive is made; return its page."""
    for _ in range(200):
        page = client.get(place).text
        if "is made" not in page and "heat/wait" not in page and "Stop" not in page:
            return page
        time.sleep(0.05)
    raise AssertionError(page)


def test_everything_is_taken_out_as_a_zip(workshop: Workshop, client: httpx.Client) -> None:
    """For download, as what it is; the same form twice makes one; the page before finds it."""
    first, second = (client.post("/exchange/export", data={"key": "one"}) for _ in range(2))
    assert first.status_code == 303
    place = first.headers["location"]
    assert second.headers["location"] == place
    page = ended(client, place)
    assert re.search(r"[\d,]+ rows, [\d.]+ [kM]B", Form(page).words)
    assert client.post("/exchange/export", data={"key": "one"}).headers["location"] == place
    answer = client.get(f"{place}/workshop.zip")
    assert answer.headers["content-type"] == "application/zip"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["content-disposition"].startswith('attachment; filename="workshop-')
    with zipfile.ZipFile(io.BytesIO(answer.content)) as package:
        assert "manifest.json" in package.namelist()
        assert package.testzip() is None
    assert place in Form(client.get("/exchange").text).links
    assert f"workshop-{workshop.today().isoformat()}.zip" in answer.headers["content-disposition"]


@contextmanager
def slow(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Make archives that take as long as nobody stops them."""

    def forever(
        _shop: object, _place: object, *, progress: archive.Progress, stop: object
    ) -> archive.Written:
        assert callable(stop)
        for done in range(10_000):
            progress(done, 10_000, "movement")
            if stop():
                raise Stopped
            time.sleep(0.01)
        raise AssertionError

    monkeypatch.setattr(archive, "write", forever)
    yield


def test_progress_is_shown_and_it_can_be_stopped(
    client: httpx.Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """How far it is, with and without scripts; stopped, nothing is kept."""
    with slow(monkeypatch):
        place = client.post("/exchange/export", data={"key": "slow"}).headers["location"]
        other = client.post("/exchange/export", data={"key": "another"})
        assert other.headers["location"] == place  # one at a time
        page = client.get(place).text
        assert f'action="{place}/stop' in page
        assert "<noscript>" in page
        part = client.get(f"{place}/wait")
        assert part.status_code == 200
        assert "<html" not in part.text
        assert client.get(f"{place}/workshop.zip").status_code == 404
        assert client.post(f"{place}/stop", data={}).headers["location"] == place
        for _ in range(100):
            if "It was stopped" in (page := client.get(place).text):
                break
            time.sleep(0.05)
        assert "It was stopped; nothing was kept" in Form(page).words
        assert client.get(f"{place}/wait").headers.get("HX-Refresh") == "true"
        assert client.get(f"{place}/workshop.zip").status_code == 404


@pytest.mark.parametrize("number", ["0", "-1", "999999", "x", "9" * 30])
def test_an_archive_that_was_not_made_is_not_there(client: httpx.Client, number: str) -> None:
    """Nor can it be stopped, nor is the pot of a candle taken for one."""
    for path in ("", "/wait", "/workshop.zip"):
        assert client.get(f"/exchange/export/{number}{path}").status_code == 404
    assert client.post(f"/exchange/export/{number}/stop", data={}).status_code in {404, 422}


def test_only_the_last_archive_lies_about_and_none_after_the_end() -> None:
    """Each in a folder that only its owner reads."""
    trays = Trays()
    first = trays.archive("a.zip")
    first.write_bytes(b"x")
    assert first.parent.stat().st_mode & 0o077 == 0
    second = trays.archive("b.zip")
    assert not first.parent.exists()
    trays.close()
    assert not second.parent.exists()


def test_the_calendar_is_read_back(client: httpx.Client) -> None:
    """Cures, due dates, planned pours (RFC 5545, read by `icalendar`)."""
    answer = client.get("/calendar.ics")
    assert answer.headers["content-type"].startswith("text/calendar")
    assert answer.headers["content-disposition"] == 'attachment; filename="workshop.ics"'
    assert answer.headers["x-content-type-options"] == "nosniff"
    found = icalendar.Calendar.from_ical(answer.content)
    assert len(found.events) > 5


def test_a_backup_is_made_now_and_listed(workshop: Workshop, client: httpx.Client) -> None:
    """Beside the file, under a name with its day."""
    assert "None was made yet" in Form(client.get("/exchange").text).words
    assert client.post("/exchange/backup", data={}).headers["location"] == "/exchange#backups"
    (made,) = backups.listing(workshop)
    assert made.path.name in Form(client.get("/exchange").text).words


def test_a_backup_that_cannot_be_made_says_why(workshop: Workshop, client: httpx.Client) -> None:
    """On the page it was asked for on, with what to do."""
    settings.change(workshop, {"backup_folder": "/there/is/no/such/folder"})
    answer = client.post("/exchange/backup", data={})
    assert answer.status_code == 422
    assert "name another folder" in Form(answer.text).words

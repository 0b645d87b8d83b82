"""The pour sheet from the plan to the jars: lots, timed work, rejects, leftovers, code, cost."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING

import httpx
import pytest

from rushlight.web.app import create_app
from rushlight.workshop import Workshop, pours
from rushlight.workshop.stores import jars, lots, receiving, reserving, working
from rushlight.workshop.stores.finish_form import REASONS
from tests.support.browser import assert_axe_clean, small_targets
from tests.support.pages import Pages
from tests.support.serving import serve

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.browser import Watch

STEP = "Wick, pour, straighten"
HOSTILE = (
    "<script>alert(1)</script>",
    "'\"><img src=x onerror=alert(1)>",
    "{{7*777777}}",
    "\x00\x07",
    "𝟙𝟚 g",
    "x" * 5000,
)


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


@pytest.fixture
def planned(workshop: Workshop) -> int:
    """Return a planned pour of six jars of Slipway."""
    return pours.plan(workshop, "slipway", {"jars": "6"}, workshop.today()).id


@pytest.fixture
def running(workshop: Workshop, planned: int) -> int:
    """Return it, started."""
    pours.start(workshop, planned, {"person": "Alder"})
    return planned


def soy(workshop: Workshop, pour: int) -> tuple[int, dict[str, int]]:
    """Return the number of a pour's need of soy, and what it takes of which lots [mg]."""
    need = next(n for n in reserving.choices(workshop, pour) if n.material == "millpond-soy")
    return need.need, {c.lot.code: c.taken.units for c in need.lots if c.taken.units}


def fields(page: str, start: str) -> list[str]:
    """Return the names of the fields on a page that begin with something."""
    return re.findall(rf'name="({re.escape(start)}[^"]*)"', page)


def test_the_whole_pour_is_walked_from_plan_to_recall(
    page: Page, workshop: Workshop, watch: Watch
) -> None:
    """Plan, choose a lot, start, tick, time, finish, label, sell, trace, recall: by hand."""
    watch.expect("status of 422")
    begin(page)
    code = finish(page)
    assert jars.get(workshop, code).line.made == 4
    label_and_sell(page, code)
    found(page, code)


def begin(page: Page) -> None:
    """Plan six jars, take the soy of another lot, start, time a step, tick every weighing."""
    page.goto("/candles/slipway")
    page.get_by_label("Jars wanted").fill("6")
    page.get_by_role("button", name="Save and plan this pour").click()
    page.wait_for_url(re.compile(r"/pours/\d+"))
    page.get_by_text("Choose other lots").click()
    other = page.get_by_label("Of M45-5, Millpond soy")
    other.fill("2 kg")
    page.get_by_label("Who pours").fill("Wren")
    page.get_by_role("button", name="Start this pour").click()
    page.get_by_role("row", name="Millpond soy").get_by_role("link", name="M45-5").wait_for()
    assert page.get_by_role("row", name="Millpond soy").get_by_role("link").count() == 1

    page.get_by_role("button", name=f"Start: {STEP}").click()
    page.get_by_role("button", name=f"Stop: {STEP}, Wren").click()
    page.get_by_text("timed 1 min").wait_for()
    while page.get_by_role("button", name=re.compile("is weighed")).count():
        page.get_by_role("button", name=re.compile("is weighed")).first.click()
        page.wait_for_load_state()
    assert_axe_clean(page)


def finish(page: Page) -> str:
    """Finish with two rejected jars and a leftover; return the code that is shown."""
    page.get_by_label("Good jars").fill("4")
    page.get_by_text("Some jars were rejected").click()
    page.get_by_label("Sinkhole").fill("1")
    page.get_by_label("Wick off centre").fill("1")
    page.get_by_text("Something is left over").click()
    page.get_by_label("Millpond soy", exact=True).fill("20 g")
    page.get_by_role("button", name="All poured").click()
    made = page.locator("#made .code.large")
    made.wait_for()
    told = page.locator("#made").inner_text()
    assert "2 rejected: 1 sinkhole, 1 wick off centre" in told
    assert page.locator("#cost").get_by_text(re.compile(r"a jar, planned at")).is_visible()
    assert_axe_clean(page)
    assert not small_targets(page, 48)
    return made.inner_text()


def label_and_sell(page: Page, code: str) -> None:
    """Look at its label, and sell three over the counter."""
    page.get_by_role("link", name="Print labels").click()
    assert page.get_by_label("Lot", exact=True).input_value() == code
    assert page.locator("#f-lot-count").input_value() == "4"
    page.wait_for_load_state("load")
    assert page.locator('img[src*="/lot.svg"]').evaluate("i => i.complete && i.naturalWidth > 0")

    page.goto(f"/orders/sell?lot={code}")
    page.get_by_label("Jars", exact=True).fill("3")
    page.get_by_label("To whom").fill("N. Body")
    page.get_by_role("button", name="Sold").click()
    page.get_by_label("may go as well").check()  # they cure still: it is asked once
    page.get_by_role("button", name="Sold").click()
    page.wait_for_url(re.compile(r"/orders/S"))


def found(page: Page, code: str) -> None:
    """Trace the code as a scanner types it, and read the recall list in its three forms."""
    page.goto("/trace")
    page.keyboard.type(code)  # the field has the focus, as a scanner needs it
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/trace/{code}")
    assert page.locator("#lots").get_by_role("link", name="M45-5").is_visible()
    assert page.locator("#jars").get_by_text("N. Body").is_visible()
    page.get_by_role("link", name="Recall list").first.click()
    assert "4 jars touched: 1 still here, 3 sold." in page.locator(".recall-sum").inner_text()
    rows = page.request.get(f"/trace/{code}/recall.csv").text().splitlines()
    assert sum(int(row.rsplit(",", 1)[1]) for row in rows[1:]) == 4
    paper = Pages(page.request.get(f"/trace/{code}/recall.pdf").body())
    assert "N. Body" in paper.words


def test_nothing_typed_holds_the_lots_that_were_proposed(
    client: httpx.Client, workshop: Workshop, planned: int
) -> None:
    """The fields are empty at first, so that a plain start takes the first to expire."""
    need, proposed = soy(workshop, planned)
    page = client.get(f"/pours/{planned}").text
    empty = dict.fromkeys(fields(page, f"lot.{need}."), "")
    assert len(empty) > 1
    assert all(f'name="{name}" value=""' in page for name in empty)
    answer = client.post(f"/pours/{planned}/start", data={"pot": "1", "person": "Ada"} | empty)
    assert answer.status_code == 303
    assert soy(workshop, planned)[1] == proposed
    assert pours.get(workshop, planned).person == "Ada"


def test_other_lots_are_held_while_it_runs(
    client: httpx.Client, workshop: Workshop, running: int
) -> None:
    """Of one material only; an empty form leaves everything as it is."""
    before = reserving.choices(workshop, running)
    need, _ = soy(workshop, running)
    client.post(f"/pours/{running}/choose", data={"pot": "1", f"lot.{need}.M45-5": ""})
    assert reserving.choices(workshop, running) == before
    form = {"pot": "1", f"lot.{need}.M45-5": "1 kg", f"lot.{need}.M7-8": "500 g"}
    answer = client.post(f"/pours/{running}/choose", data=form)
    assert answer.headers["location"].endswith("#lots")
    assert soy(workshop, running)[1] == {"M45-5": 1_000_000, "M7-8": 500_000}
    assert [n for n in reserving.choices(workshop, running) if n.need != need] == [
        n for n in before if n.need != need
    ]


def test_too_much_of_a_lot_is_said_beside_its_field(
    client: httpx.Client, workshop: Workshop, planned: int
) -> None:
    """The part is open, what was typed stays, and nothing started."""
    need, _ = soy(workshop, planned)
    form = {"pot": "1", "person": "Ada", f"lot.{need}.M7-8": "90 kg"}
    answer = client.post(f"/pours/{planned}/start", data=form)
    assert answer.status_code == 422
    assert f'id="p-lot-{need}-M7-8">Only 8000 g of lot M7-8 is free' in answer.text
    assert 'value="90 kg"' in answer.text
    assert 'value="Ada"' in answer.text
    assert "<details open><summary>Choose other lots" in answer.text
    assert pours.get(workshop, planned).state is pours.PourState.PLANNED


def test_a_lot_past_its_date_is_marked_and_a_shortage_told(
    client: httpx.Client, workshop: Workshop, planned: int
) -> None:
    """The past lot is not proposed; of what the books lack is said what to do about it."""
    receiving.receive(
        workshop,
        {
            "supplier": "Nobody",
            "day": (workshop.today() - timedelta(days=9)).isoformat(),
            "lines.0.material": "salt-timber",
            "lines.0.packs": "1",
            "lines.0.pack": "1 kg",
            "lines.0.price": "9",
            "lines.0.expires": (workshop.today() - timedelta(days=1)).isoformat(),
        },
    )
    for line in lots.listing(workshop, "salt-timber"):
        if line.expires_on is None or line.expires_on > workshop.today():
            lots.count(workshop, line.code, {"amount": "1 g", "note": "spilt"})
    page = client.get(f"/pours/{planned}").text
    choice = page[page.index("Choose other lots") :]
    assert "past:" in choice
    table = page[page.index('class="fromlots"') : page.index("Choose other lots")]
    assert "past:" not in table
    assert re.search(r"△ [\d.]+ g short", table)
    assert "Of Salt timber" in table
    assert 'href="/receiving/new"' in table
    answer = client.post(f"/pours/{planned}/start", data={"pot": "1"})
    assert answer.status_code == 303


def test_two_people_are_timed_and_a_double_touch_times_once(
    client: httpx.Client, workshop: Workshop, running: int
) -> None:
    """The same form with another step is another deed; the same step twice is one."""
    at = f"/pours/{running}"
    for _ in range(2):
        client.post(f"{at}/work", data={"pot": "1", "key": "k", "person": "Ada", "step": STEP})
    client.post(
        f"{at}/work", data={"pot": "1", "key": "k", "person": "Bo", "step": "Label and pack"}
    )
    times = working.listing(workshop, running)
    assert [(w.step, w.person) for w in times] == [(STEP, "Ada"), ("Label and pack", "Bo")]
    page = client.get(at).text
    assert f'aria-label="Stop: {STEP}, Ada"' in page
    client.post(f"{at}/rest", data={"pot": "1", "worked": str(times[0].id)})
    client.post(f"{at}/unwork", data={"pot": "1", "worked": str(times[1].id)})
    (left,) = working.listing(workshop, running)
    assert left.stopped_at is not None
    busy = client.post(f"{at}/work", data={"pot": "1", "person": "Ada", "step": "Melt"})
    assert busy.status_code == 422
    assert "This is no step of the work" in busy.text
    assert client.post(f"{at}/rest", data={"pot": "1", "worked": "99999"}).status_code == 404


def test_every_reason_and_leftover_has_its_field(
    client: httpx.Client, workshop: Workshop, running: int
) -> None:
    """Rows left empty say nothing; what is typed is booked, returned or thrown away."""
    page = client.get(f"/pours/{running}").text
    assert fields(page, "rejected.") == [f"rejected.{key}" for key in REASONS]
    left = fields(page, "left.")
    assert "left.millpond-soy.amount" in left
    form = dict.fromkeys((*fields(page, "rejected."), *left), "")
    form |= {"pot": "1", "good": "", "person": "Alder", "note": "", "count_wrong": ""}
    form |= {"rejected.sinkhole": "1", "left.millpond-soy.amount": "30 g"}
    form |= {"left.millpond-soy.fate": "scrapped"}
    answer = client.post(f"/pours/{running}/finish", data=form)
    assert answer.status_code == 303, answer.text
    view = pours.get(workshop, running)
    assert view.rejects == (("sinkhole", 1),)
    assert view.good == 5
    page = client.get(f"/pours/{running}").text
    assert f'href="/jars/{view.jar_lot}"' in page
    assert f"labels?lot={view.jar_lot}" in page
    assert f'href="/trace/{view.jar_lot}"' in page
    assert "were thrown away; no jar bears them" in page
    assert f'href="/jars/{view.jar_lot}"' in client.get("/pours").text


def test_more_used_than_in_hand_asks_for_the_reason_and_only_then(
    client: httpx.Client, workshop: Workshop, running: int
) -> None:
    """Nothing is lost: what was typed stands in the form that asks why."""
    assert 'name="count_wrong"' not in client.get(f"/pours/{running}").text
    for line in lots.listing(workshop, "salt-timber"):
        lots.count(workshop, line.code, {"amount": "1 g", "note": "spilt"})
    form = {"pot": "1", "good": "5", "rejected.frosting": "1", "note": "Windy"}
    asked = client.post(f"/pours/{running}/finish", data=form)
    assert asked.status_code == 422
    assert "more was used than is in hand" in asked.text
    assert 'name="count_wrong"' in asked.text
    for text in ('name="good" value="5"', 'name="rejected.frosting" value="1"', 'value="Windy"'):
        assert text in asked.text
    assert "<details open><summary>Some jars were rejected" in asked.text
    done = client.post(f"/pours/{running}/finish", data=form | {"count_wrong": "a spare bottle"})
    assert done.status_code == 303
    assert pours.get(workshop, running).good == 5


def test_a_count_that_cannot_be_is_asked_about_and_only_then(
    client: httpx.Client, workshop: Workshop, running: int
) -> None:
    """60 for 6: what was typed stands in the form that asks why, and the answer lets it through."""
    at = f"/pours/{running}"
    assert 'name="jars_differ"' not in client.get(at).text
    form = {"pot": "1", "good": "60", "rejected.frosting": "1", "note": "Windy"}
    asked = client.post(f"{at}/finish", data=form)
    assert asked.status_code == 422
    said = "6 jars were poured, by the vessels taken; 60 good and 1 rejected are 55 too many."
    assert said in asked.text
    for text in ('name="good" value="60"', 'name="rejected.frosting" value="1"', 'value="Windy"'):
        assert text in asked.text
    assert 'name="jars_differ"' in asked.text
    assert "The jars differ because" in asked.text
    assert 'name="count_wrong"' not in asked.text
    few = client.post(f"{at}/finish", data=form | {"good": "2"})
    assert "2 good and 1 rejected leave 3 unaccounted for." in few.text
    done = client.post(f"{at}/finish", data=form | {"good": "2", "jars_differ": "<b>fell</b>"})
    assert done.status_code == 303
    assert pours.get(workshop, running).good == 2
    page = client.get(at).text
    assert "leave 3 unaccounted for. &lt;b&gt;fell&lt;/b&gt;" in page


def test_a_pour_without_a_good_jar_says_so(
    client: httpx.Client, workshop: Workshop, running: int
) -> None:
    """No code, no labels; all of it is scrap."""
    form = {"pot": "1", "good": "0", "rejected.soot": "6"}
    client.post(f"/pours/{running}/finish", data=form)
    assert pours.get(workshop, running).jar_lot == ""
    page = client.get(f"/pours/{running}").text
    assert "No jar went into stores" in page
    assert "labels?lot=" not in page
    assert client.get(f"/trace/{running}").status_code == 200


FORMS = {
    "8/start": ("person", "lot.1.M1-9", "lot.x.y"),
    "7/choose": ("lot.1.M1-9", "lot..", "lot.zz.M1-9"),
    "7/work": ("person", "step"),
    "7/rest": ("worked",),
    "7/unwork": ("worked",),
    "7/finish": (
        *("good", "rejected", "count_wrong", "person", "note", "rejected.soot", "rejected.no"),
        "jars_differ",
        *("left.millpond-soy.amount", "left.millpond-soy.fate", "left.x.amount", "left..amount"),
    ),
}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_at_the_bench_is_refused_or_shown_as_words(
    client: httpx.Client, form: str, text: str
) -> None:
    """No crash, no markup of hers, no blank refusal; and the page that follows is whole."""
    answer = client.post(f"/pours/{form}", data={"pot": "1"} | dict.fromkeys(FORMS[form], text))
    assert answer.status_code in {303, 404, 409, 422}, answer.text[:500]
    page = client.get(f"/pours/{form[0]}")
    assert page.status_code == 200
    for shown in (answer.text, page.text):
        assert "<script>alert" not in shown
        assert "<img src=x" not in shown
        assert "5444439" not in shown
    if answer.status_code == 422:
        assert "to mend" in answer.text or 'class="problem"' in answer.text


def test_what_is_due_stands_on_the_day(client: httpx.Client) -> None:
    """Late and within seven days; cured jars lead to their lot."""
    page = client.get("/").text
    due = page[page.index("To send") : page.index("To buy")]
    assert "late:" in due
    assert "Gifts of Nowhere" in due
    assert re.search(r'href="/jars/\d{6}-\d\d-\d"', page)


def test_a_refused_start_is_told_in_the_browser_too(page: Page, watch: Watch) -> None:
    """The problem is linked to its field in the open part."""
    watch.expect("status of 422")
    page.goto("/pours/8")
    page.get_by_text("Choose other lots").click()
    page.get_by_label("Of M7-8, Millpond soy").fill("lots")
    page.get_by_role("button", name="Start this pour").click()
    page.get_by_text("One thing to mend:").wait_for()
    assert page.get_by_label("Of M7-8, Millpond soy").is_visible()
    assert_axe_clean(page)

"""Worth, margins, price history and what a pour cost, as pages."""

from __future__ import annotations

import csv
import io
import re
import shutil
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import httpx
import pytest

from rushlight.web import margin_rows, pour_costs, price_past, render, worth_rows
from rushlight.web.app import create_app
from rushlight.web.say import Say
from rushlight.workshop import Workshop, materials, pours, prices, settings
from rushlight.workshop.opening import create_workshop
from rushlight.workshop.pours import PourState
from rushlight.workshop.shop import wall_clock
from rushlight.workshop.stores import jars, orders, truth
from tests.support.bench import equip, receive, running, stock
from tests.support.browser import assert_axe_clean
from tests.support.serving import serve

if TYPE_CHECKING:
    from playwright.sync_api import Page

PENNY = Decimal("0.01")


@pytest.fixture(scope="module")
def sold_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build a small workshop: ten jars at 6.00, three of them sold, wax of unknown cost beside."""
    place = tmp_path_factory.mktemp("sold") / "sold.rushlight"
    shop = create_workshop(place, clock=wall_clock, durable=False)
    equip(shop)
    stock(shop)
    receive(shop, "test-soy", "3 kg", "15.00")
    pours.finish(shop, running(shop), {})
    receive(shop, "test-soy", "1 kg", "", supplier_lot="NO-PRICE")
    prices.save_channel(shop, None, {"name": "Market", "kind": "direct", "aim": "margin"})
    code = jars.listing(shop)[0].code
    typed = {"lot": code, "jars": "3", "channel": "market", "price": "9.99", "curing": "yes"}
    orders.sell(shop, typed)
    jars.take(shop, code, {"jars": "1", "fate": "testing"})
    shop.close()
    return place


@pytest.fixture
def sold(sold_file: Path, tmp_path: Path) -> Iterator[Workshop]:
    """Open a copy of it."""
    from rushlight.workshop.opening import open_workshop

    place = tmp_path / "sold.rushlight"
    shutil.copyfile(sold_file, place)
    shop = open_workshop(place)
    yield shop
    shop.close()


@pytest.fixture
def small(sold: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the small workshop."""
    with serve(create_app(sold)) as served, httpx.Client(base_url=served.url) as made:
        yield made


@pytest.fixture
def client(workshop: Workshop) -> Iterator[httpx.Client]:
    """Return a client of the served demo workshop."""
    with serve(create_app(workshop)) as served, httpx.Client(base_url=served.url) as made:
        yield made


def words(page: str) -> str:
    """Return a page as words."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def rows(answer: httpx.Response) -> list[dict[str, str]]:
    """Return a spreadsheet that was handed out."""
    assert answer.headers["content-type"].startswith("text/csv")
    assert "attachment" in answer.headers["content-disposition"]
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def test_worth_says_what_is_there_three_ways_and_what_is_left_out(small: httpx.Client) -> None:
    """By hand: 1 kg of wax at 5.00, 40 tumblers at 1.50, 40 wicks at 0.10: 69.00.

    Six jars of 64.00 / 10: wax 10, tumblers 15, wicks 1, labour 18, overhead 20, so 38.40.
    """
    answer = small.get("/worth")
    said = words(answer.text)
    assert answer.status_code == 200
    assert "The stores are worth £107.40 ." in said
    assert "£69.00 in materials, £38.40 in 6 jars." in said
    assert said.count("£69.00") == 5  # the sentence, the heading, and the foot of three columns
    assert "Left out: the cost is not known" in said
    assert "Test soy, lot" in said
    assert "IAS 2, paragraph 25" in said
    assert "complies" not in said


def test_a_lot_left_out_leads_to_where_its_cost_is_entered(small: httpx.Client) -> None:
    """And no worth of it is shown as nought."""
    page = small.get("/worth").text
    lot = re.search(r'Test soy, lot <a class="code" href="(/lots/[^"]+)"', page)
    assert lot is not None
    assert small.get(lot[1]).status_code == 200
    assert "£0.00" not in page


def test_worth_of_another_day_is_asked_for_by_its_date(small: httpx.Client, sold: Workshop) -> None:
    """Before anything came there was nothing, and the page says so in words."""
    before = sold.today() - timedelta(days=1)
    said = words(small.get(f"/worth?day={before}").text)
    assert "The stores were worth £0.00 ." in said
    assert "No material of known cost was in hand." in said
    assert "No jar of known cost was in hand." in said


def test_a_day_that_is_none_is_said_in_its_place(small: httpx.Client) -> None:
    """The field keeps what was typed, and the spreadsheet refuses it too."""
    answer = small.get("/worth?day=<b>soon")
    assert answer.status_code == 422
    assert "is not a date" in answer.text
    assert "&lt;b&gt;soon" in answer.text
    assert "<b>soon" not in answer.text
    assert small.get("/worth.csv?day=soon").status_code == 422


def test_the_spreadsheet_of_worth_is_exact(small: httpx.Client, sold: Workshop) -> None:
    """Its sums are those of the valuation; what is left out has no worth, and is there."""
    found = truth.valuation(sold, sold.today())
    table = rows(small.get("/worth.csv"))
    known = [row for row in table if row["what"] == "material"]
    assert sum(Decimal(row["worth by lot"]) for row in known) == found.materials_total.by_lot
    assert {row["name"]: (row["amount"], row["unit"]) for row in known}["Test soy"] == (
        "1.000000",
        "kg",
    )
    left_out = [row for row in table if row["what"] == "cost not known"]
    assert [(row["name"], row["worth by lot"]) for row in left_out] == [("Test soy", "")]
    assert [row["worth by lot"] for row in table if row["what"] == "jars"] == ["38.4000"]


def test_margins_say_what_was_left_of_what_was_paid(small: httpx.Client) -> None:
    """By hand: 3 at 9.99 are 29.97, cost 3 x 6.40 = 19.20: 10.77 left, 35.9 %."""
    said = words(small.get("/margins").text)
    assert "£10.77 was left of £29.97 paid for 3 jars." in said
    assert "35.9 %" in said
    assert "Oar" in said
    assert "burned for testing 1 £6.40" in said


def test_margins_say_how_much_of_the_cost_is_packaging(client: httpx.Client) -> None:
    """In the table, in words and in the spreadsheet, each the same."""
    page = client.get("/margins").text
    assert 'class="n">Of which packaging</th>' in page
    (told,) = re.findall(r"£([\d.]+) of it what they were packed in", words(page))
    table = rows(client.get("/margins.csv"))
    exact = sum(Decimal(row["of which packaging"]) for row in table)
    assert abs(exact - Decimal(told)) <= Decimal("0.005")
    assert exact > 0


def test_margins_of_days_without_a_sale_say_so(small: httpx.Client) -> None:
    """No empty table, no empty drawing."""
    page = small.get("/margins?from=2020-01-01&to=2020-12-31").text
    assert "No jar was sold in these days." in page
    assert "<svg" not in page[page.index("<main") :]


def test_a_period_that_is_none_is_said_in_its_place(small: httpx.Client) -> None:
    """Each field its own problem; what is shown then is the usual period."""
    answer = small.get("/margins?from=May&to=<i>")
    assert answer.status_code == 422
    assert answer.text.count("is not a date") == 2
    assert "<i>" not in answer.text
    assert small.get("/margins.csv?from=2026-02-02&to=2026-02-01").status_code == 422


def test_the_spreadsheet_of_margins_has_every_line(small: httpx.Client) -> None:
    """Exact, with the period on each."""
    table = rows(small.get("/margins.csv"))
    assert [
        (r["candle"], r["channel"], r["jars"], r["paid"], r["cost"], r["margin"]) for r in table
    ] == [("Oar", "Market", "3", "29.9700", "19.2000", "10.7700")]


@pytest.mark.parametrize("path", ["/worth", "/margins"])
def test_the_place_within_the_stores_is_marked(client: httpx.Client, path: str) -> None:
    """So is the place Stores itself."""
    page = client.get(path).text
    assert f'<a href="{path}" aria-current="page"' in page
    assert '<a href="/stores" aria-current="true"' in page


def test_shown_columns_come_to_their_shown_totals(workshop: Workshop) -> None:
    """Materials, their groups, jars and margins, in whole pennies each."""
    pref = settings.current(workshop).preference
    worth = worth_rows.shown(truth.valuation(workshop, workshop.today()), pref)
    for way in ("by_lot", "fifo", "average"):
        column = [getattr(row.worth, way) for group in worth.groups for row in group.rows]
        assert sum(column) == getattr(worth.materials, way)
        assert all(value % PENNY == 0 for value in column)
    assert sum((row.worth for row in worth.jars), Decimal(0)) == worth.jars_total
    today = workshop.today()
    sold_ = margin_rows.shown(truth.margins(workshop, today - timedelta(days=365), today), pref)
    assert sold_.lines
    for rows_ in (sold_.lines, sold_.channels, sold_.months):
        for part in ("jars", "paid", "fees"):
            assert sum(getattr(row, part) for row in rows_) == getattr(sold_.total, part)
        assert sum(row.cost or Decimal(0) for row in rows_) == sold_.total.cost
        assert sum(row.packaging for row in rows_) == sold_.total.packaging > 0


def test_lines_too_many_for_the_page_are_told_together(workshop: Workshop) -> None:
    """The last line holds the rest, so the column still adds up."""
    pref = settings.current(workshop).preference
    today = workshop.today()
    found = truth.margins(workshop, today - timedelta(days=365), today)
    many = margin_rows.shown(found, pref, most=1)
    assert len(many.lines) == 2
    assert many.rest == len(found.lines) - 1
    assert sum(row.paid for row in many.lines) == many.total.paid
    assert sum(row.jars for row in many.lines) == many.total.jars


def _included(shop: Workshop, name: str, **context: object) -> str:
    now = settings.current(shop)
    template = render.environment().get_template(name)
    return template.render(say=Say(now), settings=now, here="/", key="k", **context)


def test_the_price_history_draws_every_point_and_lists_it(workshop: Workshop) -> None:
    """As many dots as lots of known cost; every point is a row, the newest first."""
    found = truth.price_history(workshop, "millpond-soy")
    past = price_past.price_past(workshop, "millpond-soy")
    page = _included(workshop, "stores/price_history.html", past=past)
    known = [one for one in found.landed if one.unit is not None]
    assert known
    assert page.count("<circle") == len(known)
    assert len(past.points) == len(found.asked) + len(found.landed)
    assert page.count("<tr><td") == len(past.points)
    assert [p.day for p in past.points] == sorted((p.day for p in past.points), reverse=True)
    assert all(f"/lots/{one.lot}" in page for one in found.landed)


def test_a_material_without_a_price_says_so(workshop: Workshop) -> None:
    """In words, with no drawing."""
    slug = materials.save(workshop, None, {"role": "wax", "name": "Nothing yet"}).slug
    page = _included(
        workshop, "stores/price_history.html", past=price_past.price_past(workshop, slug)
    )
    assert "No price was noted yet" in page
    assert "<svg" not in page


def test_the_best_price_of_a_supplier_is_the_step(sold: Workshop) -> None:
    """Of several packs the cheapest by the kilogram; for several packs at once is no step."""
    for pack, price, since, packs in (
        ("1 kg", "6.00", "2026-01-01", "1"),
        ("10 kg", "55.00", "2026-02-01", "1"),
        ("10 kg", "40.00", "2026-02-01", "3"),
        ("10 kg", "70.00", "2026-03-01", "1"),
    ):
        typed = {"supplier": "Elsewhere", "pack": pack, "price": price, "since": since}
        materials.save_price(sold, "test-soy", {**typed, "from_packs": packs})
    lines = {one.name: one for one in price_past.suppliers(truth.price_history(sold, "test-soy"))}
    assert [paid.price for paid in lines["Elsewhere"].asked] == [6, Decimal("5.5"), 6]


def test_what_a_pour_cost_is_told_beside_its_plan(sold: Workshop) -> None:
    """As planned but for nothing: ten jars at 6.40; each lot leads to its page."""
    number = next(one.id for one in pours.listing(sold) if one.state is PourState.FINISHED)
    costs = pour_costs.pour_costs(sold, number)
    page = _included(sold, "pour/truth.html", costs=costs)
    said = words(page)
    assert "£6.40 a jar, planned at £6.40." in said
    assert "10 good jars of 10 wanted" in said
    assert "The whole pour £64.00 £64.00 £0.00" in said
    assert page.count("/lots/") == len(costs.materials)
    assert "not timed" in said


def test_what_is_shown_of_every_finished_pour_adds_up(workshop: Workshop) -> None:
    """Parts to the whole, materials to their part, price and usage to the difference."""
    finished = [one for one in pours.listing(workshop) if one.state is PourState.FINISHED]
    assert finished
    for line in finished:
        costs = pour_costs.pour_costs(workshop, line.id)
        for side in ("planned", "actual"):
            parts = [getattr(cost, side) for _, cost in costs.parts]
            assert sum(parts) == getattr(costs.total, side)
            own = [getattr(row.cost, side) for row in costs.materials]
            assert sum(own) == parts[0]
        for row in costs.materials:
            assert row.price is not None
            assert row.usage is not None
            assert row.price + row.usage == row.cost.more
        assert costs.truth.total.actual is not None
        assert costs.total.actual == costs.truth.total.actual.quantize(PENNY)


@pytest.mark.parametrize("path", ["/worth", "/margins"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_pages_are_accessible_and_fit_a_narrow_screen(
    page: Page, path: str, scheme: str
) -> None:
    """By axe at both widths; nothing but a table in its own frame is wider than the screen."""
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    for width in (1280, 320):
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(path)
        assert_axe_clean(page)
        over = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(over) <= 0


def test_a_material_and_a_finished_pour_show_theirs(small: httpx.Client, sold: Workshop) -> None:
    """On the pages where they are looked for."""
    assert "What it cost over time" in small.get("/stores/test-soy").text
    number = next(one.id for one in pours.listing(sold) if one.state is PourState.FINISHED)
    assert "What it really cost" in small.get(f"/pours/{number}").text

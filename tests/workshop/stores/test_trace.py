from __future__ import annotations

from datetime import date, timedelta

import pytest

from rushlight.errors import BadInput, NotFound
from rushlight.store.deeds import deed_of
from rushlight.workshop import Workshop, pours, undo
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores import orders, trace
from rushlight.workshop.stores.thread_views import HEADINGS
from tests.support.jars import furnish, jarred, moved, pour_of, stocked, taken

DAY = date(2026, 5, 12)  # the clock's
KG = 1_000_000


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with two candles, a channel and two materials."""
    furnish(empty)
    return empty


@pytest.fixture
def wax(shop: Workshop) -> str:
    """Return a lot of wax of a known supplier."""
    return stocked(shop, "millpond-soy", 10 * KG, supplier_lot="WX-88/2", from_whom="Hartley Wax")


@pytest.fixture
def oil(shop: Workshop) -> str:
    """Return a lot of oil that nobody delivered."""
    return stocked(shop, "sea-lavender", KG, expires=DAY - timedelta(1))


def _sell(shop: Workshop, lot: str, jars: int, buyer: str = "") -> str:
    typed = {"lot": lot, "jars": str(jars), "channel": "saturday-market", "buyer": buyer}
    return orders.sell(shop, {**typed, "curing": "yes"}).line.code


def _undo(shop: Workshop, subject: str = "") -> None:
    done = undo.latest(shop, subject)
    assert done is not None
    undo.undo(shop, done.id)


def test_a_jar_is_followed_back_to_every_lot_and_forward_to_its_buyer(
    shop: Workshop, wax: str, oil: str
) -> None:
    """One step back to the supplier, one step forward to the buyer, and all between."""
    lot = jarred(shop, "slipway", 12, of={wax: 2 * KG, oil: 160_000})
    order = _sell(shop, lot, 3, "Nell")
    taken(shop, lot, 1, "testing")
    found = trace.follow(shop, lot)
    assert [(one.code, one.used) for one in found.lots] == [
        (wax, Amount(2 * KG, Measure.MASS)),
        (oil, Amount(160_000, Measure.MASS)),
    ]
    first = found.lots[0]
    assert (first.supplier, first.supplier_lot, first.received_on) == (
        "Hartley Wax",
        "WX-88/2",
        DAY,
    )
    assert [(pour.id, pour.revision, pour.person) for pour in found.pours] == [
        (pour_of(shop, lot), 1, "Ada")
    ]
    (jars,) = found.jars
    assert (jars.made, jars.in_hand, jars.sold, jars.testing) == (12, 8, 3, 1)
    assert [(s.order, s.lot, s.jars, s.buyer, s.sent_on) for s in found.sales] == [
        (order, lot, 3, "Nell", DAY)
    ]


def test_the_thread_runs_from_supplier_to_buyer(shop: Workshop, wax: str, oil: str) -> None:
    """Every node once, in its column, and every link with how much went along."""
    lot = jarred(shop, "slipway", 12, of={wax: 2 * KG, oil: 160_000})
    pour = pour_of(shop, lot)
    one, two = _sell(shop, lot, 3, "Nell"), _sell(shop, lot, 1)
    taken(shop, lot, 1, "broken")
    found = trace.thread(shop, lot)
    assert found.columns == HEADINGS
    assert found.asked.code == lot
    assert {(n.kind, n.title) for n in found.nodes} == {
        ("supplier", "Hartley Wax"),
        ("stock_lot", wax),
        ("stock_lot", oil),
        ("pour", f"Pour {pour}"),
        ("jar_lot", lot),
        ("order", one),
        ("order", two),
        ("loss", "Broken"),
        ("buyer", "Nell"),
        ("buyer", "No buyer is named"),
    }
    labels = {(row.source.title, row.target.title): row.label for row in found.rows
              if row.source and row.target}  # fmt: skip
    assert labels == {
        ("Hartley Wax", wax): "10\N{NO-BREAK SPACE}000 g",
        (wax, f"Pour {pour}"): "2000 g",
        (oil, f"Pour {pour}"): "160 g",
        (f"Pour {pour}", lot): "12 jars",
        (lot, one): "3 jars",
        (lot, two): "1 jar",
        (lot, "Broken"): "1 jar",
        (one, "Nell"): "3 jars",
        (two, "No buyer is named"): "1 jar",
    }
    marks = {node.title: node.mark for node in found.nodes if node.mark}
    assert marks == {oil: "used past its date", "No buyer is named": "not known"}


def test_a_lot_is_followed_to_every_pour_jar_and_order(shop: Workshop, wax: str, oil: str) -> None:
    """Only what it went into, and only itself of what went in there."""
    one = jarred(shop, "slipway", 12, of={wax: KG, oil: 80_000})
    two = jarred(shop, "painters-locker", 6, of={wax: KG})
    jarred(shop, "slipway", 6, of={oil: 80_000})
    sold = {_sell(shop, one, 2, "Nell"), _sell(shop, two, 1)}
    found = trace.follow(shop, wax)
    assert [lot.code for lot in found.lots] == [wax]
    assert found.lots[0].used == Amount(2 * KG, Measure.MASS)
    assert {jars.code for jars in found.jars} == {one, two}
    assert {pour.id for pour in found.pours} == {pour_of(shop, one), pour_of(shop, two)}
    assert {sale.order for sale in found.sales} == sold
    assert found.thread.asked.code == wax


def test_an_order_is_followed_back_to_its_lots(shop: Workshop, wax: str, oil: str) -> None:
    """Its own jars only: what else was sold of the lot is not on its thread."""
    one = jarred(shop, "slipway", 12, of={wax: KG})
    jarred(shop, "slipway", 12, of={oil: 80_000})
    _sell(shop, one, 2, "Nell")
    order = _sell(shop, one, 3, "Ben")
    found = trace.follow(shop, order)
    assert [(s.order, s.jars) for s in found.sales] == [(order, 3)]
    assert [lot.code for lot in found.lots] == [wax]
    assert [jars.code for jars in found.jars] == [one]
    assert {node.title for node in found.thread.nodes if node.kind == "buyer"} == {"Ben"}


def test_what_is_undone_or_wholly_given_back_is_not_on_the_thread(
    shop: Workshop, wax: str, oil: str
) -> None:
    """Net amounts count, and an undoing done again counts again."""
    lot = jarred(shop, "slipway", 12, of={wax: KG, oil: 80_000})
    pour = pour_of(shop, lot)
    moved(shop, oil, 80_000, "returned", pour)
    moved(shop, oil, -80_000, "scrapped", pour)  # a leftover thrown away is in no jar
    assert [one.code for one in trace.follow(shop, lot).lots] == [wax]
    assert trace.follow(shop, oil).jars == ()
    moved(shop, oil, -5_000, "used", pour)
    assert trace.follow(shop, lot).lots[1].used == Amount(5_000, Measure.MASS)
    _undo(shop)
    assert trace.follow(shop, oil).pours == ()
    done = undo.listing(shop, limit=1)[0]
    undo.undo(shop, done.id)
    assert [jars.code for jars in trace.follow(shop, oil).jars] == [lot]


def test_a_pour_undone_leaves_no_jars_on_the_thread(shop: Workshop, wax: str) -> None:
    """Its lot of jars says so; poured anew, the new one is there."""
    lot = jarred(shop, "slipway", 12, of={wax: KG})
    _undo(shop, f"pour:{pour_of(shop, lot)}")
    assert trace.follow(shop, wax).jars == ()
    with pytest.raises(NotFound, match="undone"):
        trace.thread(shop, lot)
    again = jarred(shop, "slipway", 11, of={wax: KG})
    assert again != lot
    assert [jars.code for jars in trace.follow(shop, wax).jars] == [again]


def test_a_sale_undone_and_jars_put_back_are_not_on_the_thread(shop: Workshop, wax: str) -> None:
    """A cancelled order has no jars; one picked and not sent says so."""
    lot = jarred(shop, "slipway", 12, of={wax: KG})
    _sell(shop, lot, 3, "Nell")
    _undo(shop)
    typed = {"channel": "saturday-market", "lines.0.candle": "slipway", "lines.0.jars": "2"}
    code = orders.save(shop, None, typed).line.code
    orders.pick(shop, code, {})
    found = trace.follow(shop, lot)
    assert [(s.order, s.jars, s.sent_on) for s in found.sales] == [(code, 2, None)]
    assert (found.jars[0].picked, found.jars[0].sold) == (2, 0)
    orders.cancel(shop, code)
    assert trace.follow(shop, lot).sales == ()


def test_the_bench_is_told_of_a_jar(shop: Workshop, wax: str) -> None:
    """Readings with their times, what was weighed, who worked, what was rejected."""
    lot = jarred(shop, "slipway", 12, of={wax: KG})
    pour, at = pour_of(shop, lot), "2026-05-12T08:00:00.000Z"
    with deed_of(shop.store, "test.bench", at=shop.now()) as work:
        for text, kelvin in (("72 C", 345_150), ("90 C", 363_150)):
            wrong = {"retired_at": at} if text == "90 C" else {}
            work.add("reading", pour_id=pour, pot=1, millikelvin=kelvin, typed=text, at=at, **wrong)
        work.add("worked", pour_id=pour, step="pouring", person="Ben", started_at=at)
        work.add("reject", pour_id=pour, reason="cracked", jars=2, at=at)
        work.said = "At the bench."
    (one,) = trace.follow(shop, lot).bench.readings
    assert (one.pour, one.pot, one.temperature, one.typed) == (pour, 1, 345.15, "72 C")
    assert one.at.isoformat() == "2026-05-12T09:00:00+01:00"  # the clock's zone
    bench = trace.follow(shop, lot).bench
    assert [(w.step, w.person, w.stopped_at) for w in bench.work] == [("pouring", "Ben", None)]
    assert [(r.reason, r.jars) for r in bench.rejects] == [("cracked", 2)]
    assert trace.follow(shop, wax).bench == trace.Bench()


def test_the_bench_of_a_real_pour_is_told(shop: Workshop) -> None:
    """Planned, ticked, read and finished by the ordinary verbs."""
    view = pours.start(shop, pours.plan(shop, "slipway", {"jars": "6"}, DAY).id)
    line = view.pots[0].lines[0].key
    pours.tick(shop, view.id, 1, line, "900 g")
    pours.tick(shop, view.id, 1, line, "902 g")
    pours.read_temperature(shop, view.id, 1, "70 C")
    bench = trace.follow(shop, f"pour {view.id}").bench
    assert [(w.line, w.typed, w.amount) for w in bench.weighings] == [(line, "902 g", 0.902)]
    assert [r.typed for r in bench.readings] == ["70 C"]


def test_gaps_and_slips_are_told_as_cautions(shop: Workshop, wax: str, oil: str) -> None:
    """Dates past, nobody named, a count that was wrong, jars gone before their cure."""
    bare = stocked(shop, "millpond-soy", KG, from_whom="Hartley Wax")
    lot = jarred(shop, "slipway", 12, cure=9, of={wax: KG, oil: 80_000, bare: KG})
    moved(shop, wax, 250_000, "counted", pour_of(shop, lot))
    _sell(shop, lot, 2)
    told = trace.follow(shop, lot).cautions
    assert [
        word
        for word in (
            f"Lot {oil} (Sea lavender) was used after its date, 2026-05-11.",
            f"Who delivered lot {oil} (Sea lavender) is not known.",
            f"Hartley Wax's own code of lot {bare} (Millpond soy) is not noted.",
            "used 250 g of Millpond soy more than was in hand",
            "before their cure was over",
            "Who bought 2 of the jars is not known.",
        )
        if not any(word in one for one in told)
    ] == []
    assert len(told) == 6


def test_a_code_is_found_however_it_is_typed(shop: Workshop, wax: str) -> None:
    """Of jars, a lot, an order or a pour, with or without its dashes."""
    lot = jarred(shop, "slipway", 12, of={wax: KG})
    order = _sell(shop, lot, 1)
    for text, code, kind in (
        (lot.replace("-", ""), lot, "jar_lot"),
        (wax.lower(), wax, "stock_lot"),
        (f" {order} ", order, "order"),
        (str(pour_of(shop, lot)), lot, "jar_lot"),
        (f"Pour {pour_of(shop, lot)}", lot, "jar_lot"),
    ):
        (hit,) = trace.find(shop, text).hits
        assert (hit.code, hit.kind) == (code, kind)
        assert trace.thread(shop, hit.code).asked.code == code


def test_a_suppliers_code_may_mean_several_lots(shop: Workshop, wax: str) -> None:
    """The whole code first, whatever its case; a part of it from three letters on."""
    other = stocked(shop, "sea-lavender", KG, supplier_lot="wx-88/2", from_whom="Oilery")
    longer = stocked(shop, "sea-lavender", KG, supplier_lot="A-WX-88/2-9")
    hits = trace.find(shop, "Wx-88/2").hits
    assert [hit.code for hit in hits] == [other, wax, longer]
    assert "Hartley Wax" in hits[1].told
    assert len(trace.find(shop, "88/").hits) == 3
    assert trace.find(shop, "8%").hits == ()
    assert trace.find(shop, "88").hits == ()


def test_a_slip_in_a_code_is_explained(shop: Workshop, wax: str) -> None:
    """And a code of the right make that nothing has is not called a slip."""
    wrong = wax[:-1] + str((int(wax[-1]) + 1) % 10)
    found = trace.find(shop, wrong)
    assert found.hits == ()
    assert "slip" in found.slip
    assert "no lot M9-4" in trace.find(shop, "M9-4").slip
    assert trace.find(shop, "lavender").slip == ""
    assert trace.find(shop, "77").slip == ""
    with pytest.raises(BadInput):
        trace.thread(shop, wrong)
    for none in ("M9-4", "4711"):
        with pytest.raises(NotFound):
            trace.thread(shop, none)
    for nothing in ("  ", "x" * 81, "a\x00b"):
        with pytest.raises(BadInput):
            trace.find(shop, nothing)


def test_a_pour_without_jars_is_found_too(shop: Workshop) -> None:
    """By its number, with nothing yet to the right of it."""
    view = pours.plan(shop, "slipway", {"jars": "6"}, DAY)
    (hit,) = trace.find(shop, str(view.id)).hits
    assert (hit.kind, hit.told) == ("pour", "Slipway, planned")
    found = trace.follow(shop, hit.code)
    assert [(n.title, n.mark) for n in found.thread.nodes] == [(f"Pour {view.id}", "planned")]

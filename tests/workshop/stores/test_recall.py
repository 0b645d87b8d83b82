from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import count

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.errors import Refused
from rushlight.workshop import Workshop, pours, undo
from rushlight.workshop.exchange.csv_writer import write_csv
from rushlight.workshop.stores import orders, trace
from rushlight.workshop.stores.recall_rows import recall_rows
from tests.support.jars import furnish, held, jarred, moved, pour_of, stocked, taken

KG = 1_000_000
_BATCHES = count()


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with two candles, a channel and two materials."""
    furnish(empty)
    return empty


def _wax(shop: Workshop, code: str = "WX-88/2", whom: str = "Hartley Wax") -> str:
    return stocked(shop, "millpond-soy", 100 * KG, supplier_lot=code, from_whom=whom)


def _sell(shop: Workshop, lot: str, jars: int, buyer: str = "", contact: str = "") -> str:
    typed = {"lot": lot, "jars": str(jars), "channel": "saturday-market", "buyer": buyer}
    return orders.sell(shop, {**typed, "contact": contact}).line.code


def test_a_recall_says_where_every_jar_is(shop: Workshop) -> None:
    """In hand, picked, sold by buyer, given, broken, used for testing, missing: they add up."""
    wax = _wax(shop)
    lot = jarred(shop, "slipway", 24, of={wax: KG})
    jarred(shop, "slipway", 6, of={_wax(shop, "WX-90"): KG})
    nell = _sell(shop, lot, 5, "Nell", "07700 900123")
    nobody = _sell(shop, lot, 2)
    for fate, jars in (("given", 1), ("testing", 2), ("broken", 3), ("counted", 1)):
        taken(shop, lot, jars, fate)
    typed = {"channel": "saturday-market", "lines.0.candle": "slipway", "lines.0.jars": "4"}
    waiting = orders.save(shop, None, {**typed, "buyer": "Abel"}).line.code
    orders.pick(shop, waiting, {})
    found = trace.recall(shop, wax)
    total = found.sum
    assert (total.made, total.found) == (24, 24)
    assert (total.in_hand, total.picked, total.sold, total.unknown) == (6, 4, 7, 2)
    assert (total.given, total.testing, total.broken, total.missing) == (1, 2, 3, 1)
    assert [(s.buyer, s.contact, s.order, s.jars, s.channel) for s in found.sales] == [
        ("Abel", "", waiting, 4, "Saturday market"),
        ("Nell", "07700 900123", nell, 5, "Saturday market"),
        ("", "", nobody, 2, "Saturday market"),
    ]
    assert [jars.code for jars in found.jars] == [lot]
    assert [pour.id for pour in found.pours] == [pour_of(shop, lot)]


def test_a_recall_takes_every_lot_of_the_batch(shop: Workshop) -> None:
    """Delivered twice under one code it is one batch; of another supplier it is not."""
    one, two = _wax(shop), _wax(shop, "wx-88/2")
    other, bare = _wax(shop, whom="Another"), _wax(shop, "")
    oil = stocked(shop, "sea-lavender", KG, supplier_lot="WX-88/2", from_whom="Hartley Wax")
    jars = {code: jarred(shop, "slipway", 6, of={code: KG}) for code in (one, two, other, bare)}
    for code in (one, two):
        found = trace.recall(shop, code)
        assert [lot.code for lot in found.lots] == [one, two]
        assert {lot.code for lot in found.jars} == {jars[one], jars[two]}
    for code in (other, bare):
        assert [lot.code for lot in trace.recall(shop, code).lots] == [code]
    unused = trace.recall(shop, oil)
    assert ([lot.code for lot in unused.lots], unused.jars, unused.sum.made) == ([oil], (), 0)


def test_a_batch_is_one_however_its_code_was_typed(shop: Workshop) -> None:
    """In capitals or not, letters with accents too, an accent as a sign of its own or not."""
    one, two, three = (_wax(shop, code) for code in ("LÜ-7", "lü-7", "Lu\u0308-7"))
    _wax(shop, "LU-7")
    assert [lot.code for lot in trace.recall(shop, two).lots] == [one, two, three]


def test_one_lot_of_jars_is_recalled_by_itself(shop: Workshop) -> None:
    """With the lots that are in it; an order or a pour is no lot."""
    wax = _wax(shop)
    lot = jarred(shop, "slipway", 6, of={wax: KG})
    jarred(shop, "slipway", 6, of={wax: KG})
    order = _sell(shop, lot, 1)
    found = trace.recall(shop, lot)
    assert ([one.code for one in found.jars], [one.code for one in found.lots]) == ([lot], [wax])
    for code in (order, str(pour_of(shop, lot))):
        with pytest.raises(Refused, match="no lot"):
            trace.recall(shop, code)


def test_a_pour_that_runs_and_holds_the_lot_is_named(shop: Workshop) -> None:
    """So that it is stopped before it becomes jars."""
    wax = _wax(shop)
    view = pours.plan(shop, "slipway", {"jars": "6"}, shop.today())
    assert trace.recall(shop, wax).running == ()
    held(shop, wax, view.id)
    pours.start(shop, view.id)
    assert trace.recall(shop, wax).running == (view.id,)
    pours.abandon(shop, view.id)
    assert trace.recall(shop, wax).running == ()


def test_jars_that_came_back_are_told(shop: Workshop) -> None:
    """To their order they are sold no more; without one they are told apart."""
    wax = _wax(shop)
    lot = jarred(shop, "slipway", 12, of={wax: KG})
    order = _sell(shop, lot, 5, "Nell")
    line = orders.get(shop, order).items[0].id
    taken(shop, lot, -2, "taken back", line)
    taken(shop, lot, -1, "taken back")
    found = trace.recall(shop, lot)
    assert [(s.order, s.jars) for s in found.sales] == [(order, 3)]
    assert (found.sum.sold, found.sum.came_back, found.sum.in_hand) == (3, 1, 10)
    assert found.sum.found == found.sum.made == 12


def test_the_recall_as_a_table_holds_every_jar(shop: Workshop) -> None:
    """Written and read as CSV, its last column adds up to the jars made."""
    wax = _wax(shop)
    lot = jarred(shop, "slipway", 24, poured=shop.today() - timedelta(3), of={wax: KG})
    order = _sell(shop, lot, 5, "=HYPERLINK(1)", "nell@example.org")
    _sell(shop, lot, 2)
    taken(shop, lot, 3, "broken")
    taken(shop, lot, -1, "taken back")
    header, rows = recall_rows(trace.recall(shop, wax))
    table = list(csv.DictReader(io.StringIO(write_csv(header, rows).decode("utf-8-sig"))))
    assert sum(int(row["Jars"]) for row in table) == 24
    assert table[0] == {
        "Where": "sold",
        "Buyer": "'=HYPERLINK(1)",  # no formula
        "Contact": "nell@example.org",
        "Order": order,
        "Channel": "Saturday market",
        "Placed": "2026-05-12",
        "Sent": "2026-05-12",
        "Jar lot": lot,
        "Candle": "Slipway",
        "Revision": "1",
        "Pour": str(pour_of(shop, lot)),
        "Poured": "2026-05-09",
        "Of lots": wax,
        "Jars": "5",
    }
    assert [(row["Where"], row["Buyer"], row["Jars"]) for row in table[1:]] == [
        ("sold", "not known", "2"),
        ("in hand", "", "15"),
        ("broken", "", "3"),
        ("came back, order not named", "", "-1"),
    ]


@dataclass(slots=True)
class _Books:
    """What a history should have come to, kept beside the workshop in the plainest way."""

    used: dict[tuple[str, str], int] = field(default_factory=dict)  # stock lot, jar lot
    sold: dict[tuple[str, str], int] = field(default_factory=dict)  # jar lot, buyer
    made: dict[str, int] = field(default_factory=dict)


steps = st.lists(
    st.tuples(
        st.sampled_from(["pour", "return", "undo", "sell", "lose", "back"]),
        st.integers(0, 30),
        st.integers(1, 8),
    ),
    max_size=10,
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=steps)
def test_forward_and_back_agree_and_every_jar_is_somewhere(
    shop: Workshop, steps: list[tuple[str, int, int]]
) -> None:
    """Lot L is in what goes back from jars J just when J is in what goes forward from L."""
    # examples share the workshop: a batch of one of them is of no other
    lots = [_wax(shop, f"WX-{next(_BATCHES)}") for _ in range(3)]
    books = _Books()
    for step in steps:
        _do(shop, books, lots, step)
    back = {
        (lot.code, jars): lot.used.units
        for jars in books.made
        for lot in trace.follow(shop, jars).lots
    }
    forward: dict[tuple[str, str], int] = {}
    sold: dict[tuple[str, str], int] = {}
    for code in lots:
        found = trace.recall(shop, code)
        by_pour = {use.pour: use.amount.units for use in found.uses}
        forward |= {(code, jars.code): by_pour[jars.pour] for jars in found.jars}
        sold |= {(sale.lot, sale.buyer): 0 for sale in found.sales}
        assert found.sum.made == found.sum.found == sum(jars.made for jars in found.jars)
        assert sum(row[-1] for row in recall_rows(found)[1]) == found.sum.made  # type: ignore[misc]
    for jars in books.made:
        for sale in trace.recall(shop, jars).sales:
            sold[sale.lot, sale.buyer] = sold.get((sale.lot, sale.buyer), 0) + sale.jars
    assert back == {key: units for key, units in books.used.items() if units}
    assert forward == back
    assert sold == {key: jars for key, jars in books.sold.items() if jars}


def _do(shop: Workshop, books: _Books, lots: list[str], step: tuple[str, int, int]) -> None:
    """Do one step to the workshop and to the plain books."""
    what, pick, many = step
    stock = lots[pick % len(lots)]
    jars = list(books.made)[pick % len(books.made)] if books.made else ""
    key = (stock, jars)
    if what == "pour":
        second = lots[(pick // 3) % len(lots)]
        of = {stock: many * 1000} | ({second: 500} if second != stock else {})
        made = jarred(shop, "slipway", many + 4, of=of)
        books.made[made] = many + 4
        books.used |= {(code, made): units for code, units in of.items()}
    elif what == "return" and books.used.get(key):
        back = books.used[key] if many > 4 else 100
        moved(shop, stock, back, "returned", pour_of(shop, jars))
        books.used[key] -= back
    elif what == "undo" and books.used.get(key):
        moved(shop, stock, -700, "used", pour_of(shop, jars))
        done = undo.listing(shop, limit=1)[0]
        again = undo.undo(shop, done.id)
        if many > 4:
            undo.undo(shop, again.id)
            books.used[key] += 700
    elif what == "sell" and jars and many <= _left(shop, jars):
        buyer = ("Nell", "Ben", "")[pick % 3]
        _sell(shop, jars, many, buyer)
        if many % 4 == 0:
            undo.undo(shop, undo.listing(shop, limit=1)[0].id)
        else:
            books.sold[jars, buyer] = books.sold.get((jars, buyer), 0) + many
    elif what in ("lose", "back") and jars and many <= _left(shop, jars):
        taken(shop, jars, many if what == "lose" else -1, "broken" if many % 2 else "counted")
        if many % 3 == 0:
            undo.undo(shop, undo.listing(shop, limit=1)[0].id)


def _left(shop: Workshop, code: str) -> int:
    from tests.support.jars import left

    return left(shop, code)[0]

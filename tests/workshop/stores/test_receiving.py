from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop import Workshop, materials, undo
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores import lots, receiving

DAY = date(2026, 5, 12)  # the clock's


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with a wax, an oil and a vessel."""
    for role, name in (("wax", "Millpond soy"), ("fragrance", "Cedar"), ("vessel", "Tumbler")):
        materials.save(empty, None, {"role": role, "name": name})
    return empty


def _typed(*lines: dict[str, str], **head: str) -> dict[str, str]:
    typed = {"supplier": "Harbour Wax", **head}
    for n, line in enumerate(lines):
        typed |= {f"lines.{n}.{part}": text for part, text in line.items()}
    return typed


SOY = {"material": "Millpond soy", "packs": "2", "pack": "10 kg", "price": "40"}
JARS = {"material": "tumbler", "packs": "3", "pack": "24", "price": "20"}


def _problems(shop: Workshop, typed: Any) -> dict[str, str]:
    with pytest.raises(BadInput) as caught:
        receiving.receive(shop, typed)
    return {problem.place: problem.what for problem in caught.value.problems}


def test_every_line_becomes_a_lot_with_its_papers(shop: Workshop) -> None:
    """Packs times pack size; the supplier's lot, the date and its kind stay with the lot."""
    oil = {"material": "CEDAR", "packs": "1", "pack": "500 g", "price": "18.20"}
    oil |= {"supplier_lot": " C-77  b ", "expires": "2027-03-01", "date_kind": "retest"}
    view = receiving.receive(shop, _typed(SOY, oil, day="2026-05-10", reference="INV 9"))
    soy, cedar = view.lots
    assert (view.line.supplier, view.line.day) == ("Harbour Wax", date(2026, 5, 10))
    assert (view.line.reference, view.line.lots, view.line.total) == ("INV 9", 2, Decimal("98.20"))
    assert soy.came == soy.left == Amount(20_000_000, Measure.MASS)
    assert (soy.cost, soy.worth, soy.unit_cost) == (Decimal(80), Decimal(80), Decimal(4))
    assert (soy.expires_on, soy.date_kind) == (None, "")
    assert (cedar.supplier_lot, cedar.expires_on) == ("C-77 b", date(2027, 3, 1))
    assert (cedar.date_kind, cedar.received_on) == ("retest", date(2026, 5, 10))
    assert receiving.deliveries(shop) == (view.line,)
    assert lots.get(shop, soy.code).delivery == view.line.id


def test_freight_and_duty_follow_what_is_asked(shop: Workshop) -> None:
    """By value 80 and 60 of 140 share 14 as 8 and 6; by mass 20 kg and 0.5 kg share 4.10."""
    by_value = receiving.preview(shop, _typed(SOY, JARS, freight="14"))
    assert [line.freight for line in by_value] == [Decimal(8), Decimal(6)]
    oil = {"material": "cedar", "packs": "1", "pack": "500 g", "price": "20"}
    asked = {"freight": "4.10", "freight_by": "mass", "duty": "1", "duty_by": "value"}
    soy, cedar = receiving.preview(shop, _typed(SOY, oil, **asked))
    assert (soy.freight, cedar.freight) == (Decimal("4.00"), Decimal("0.10"))
    assert (soy.duty, cedar.duty) == (Decimal("0.80"), Decimal("0.20"))
    assert (cedar.goods, cedar.landed) == (Decimal(20), Decimal("20.30"))
    assert cedar.unit_cost == Decimal("40.60")
    assert (cedar.place, cedar.material) == ("lines.1", "cedar")


def test_a_preview_books_nothing_and_does_without_a_supplier(shop: Workshop) -> None:
    """It may be asked while she is still typing."""
    receiving.preview(shop, _typed(SOY, supplier=""))
    assert receiving.deliveries(shop) == ()
    assert lots.listing(shop) == ()


def test_freight_by_mass_over_pieces_is_refused_and_value_offered(shop: Workshop) -> None:
    """What a piece weighs is not known, so nothing is guessed."""
    with pytest.raises(BadInput) as caught:
        receiving.receive(shop, _typed(SOY, JARS, freight="5", freight_by="mass"))
    (problem,) = caught.value.problems
    assert problem.place == "freight_by"
    assert "Tumbler comes by the piece" in problem.what
    assert problem.remedy == "Spread it by value."
    # nothing to spread: nothing to refuse
    assert len(receiving.preview(shop, _typed(SOY, JARS, freight_by="mass"))) == 2


def test_every_problem_of_every_line_is_told_at_once(shop: Workshop) -> None:
    """Each at its place, whether its material is known or not."""
    wrong = {"material": "Tallow", "packs": "0", "pack": "some", "price": "-1"}
    late = {**SOY, "expires": "2026-05-11", "date_kind": "best", "packs": "1.5"}
    typed = _typed(wrong, late, {"pack": "24"}, supplier=" ", day="2026-05-13", freight="x")
    assert set(_problems(shop, {**typed, "colour": "red"})) == {
        *("supplier", "day", "freight", "colour"),
        *("lines.0.material", "lines.0.packs", "lines.0.pack", "lines.0.price"),
        *("lines.1.expires", "lines.1.date_kind", "lines.1.packs"),
        *("lines.2.material", "lines.2.packs"),
    }


def test_empty_rows_are_passed_over_and_a_delivery_of_nothing_is_not_one(shop: Workshop) -> None:
    """A row in which only the kind of date is chosen is empty."""
    view = receiving.receive(shop, _typed({"date_kind": "expiry"}, SOY, {"pack": " "}))
    assert len(view.lots) == 1
    assert _problems(shop, _typed({"date_kind": "expiry"})) == {"lines": "Nothing was delivered."}


def test_sixty_lines_are_sixty_lots_and_a_hundred_and_one_too_many(shop: Workshop) -> None:
    """In the order of the paper, also from the tenth on."""
    many = [{**SOY, "supplier_lot": f"L{n}"} for n in range(60)]
    view = receiving.receive(shop, _typed(*many))
    assert [lot.supplier_lot for lot in view.lots] == [f"L{n}" for n in range(60)]
    assert set(_problems(shop, _typed(*[SOY] * 101))) == {"lines"}


def test_a_price_may_be_left_empty_unless_a_charge_is_spread(shop: Workshop) -> None:
    """The cost of that lot is then not known, which is not the same as nothing."""
    bare = {**SOY, "price": ""}
    view = receiving.receive(shop, _typed(bare, {**JARS, "price": "0"}))
    assert [lot.cost for lot in view.lots] == [None, Decimal(0)]
    assert [lot.worth for lot in view.lots] == [None, Decimal(0)]
    assert set(_problems(shop, _typed(bare, JARS, duty="1"))) == {"lines.0.price"}


def test_the_price_of_a_pack_is_noted_once(shop: Workshop) -> None:
    """Of that supplier and pack, from the day of the delivery; a free sample is no price."""
    free = {"material": "cedar", "packs": "1", "pack": "10 g", "price": "0"}
    for _ in range(2):
        receiving.receive(shop, _typed(SOY, SOY, free, day="2026-05-02"))
    (noted,) = materials.get(shop, "millpond-soy").prices
    assert (noted.supplier, noted.pack, noted.price) == ("Harbour Wax", "10 kg", Decimal(40))
    assert (noted.from_packs, noted.since) == (1, date(2026, 5, 2))
    assert materials.get(shop, "cedar").prices == ()
    receiving.receive(shop, _typed({**SOY, "price": "41"}, supplier="harbour WAX"))
    prices = materials.get(shop, "millpond-soy").prices
    assert [(price.supplier, price.price) for price in prices] == [
        ("Harbour Wax", Decimal(40)),
        ("Harbour Wax", Decimal(41)),
    ]


def test_the_price_of_a_tier_is_noted_as_that(shop: Workshop) -> None:
    """Five packs at the price from five packs on say nothing of the price of one."""
    for packs, price in (("1", "40"), ("5", "36")):
        typed = {"supplier": "Harbour Wax", "pack": "10 kg", "price": price, "from_packs": packs}
        materials.save_price(shop, "millpond-soy", typed)
    receiving.receive(shop, _typed({**SOY, "packs": "6", "price": "36"}))
    assert len(materials.get(shop, "millpond-soy").prices) == 2
    receiving.receive(shop, _typed({**SOY, "packs": "6", "price": "35"}))
    newest = max(materials.get(shop, "millpond-soy").prices, key=lambda price: price.id)
    assert (newest.from_packs, newest.price) == (5, Decimal(35))


def test_a_key_used_again_books_nothing_twice(shop: Workshop) -> None:
    """A form sent twice is one delivery."""
    first = receiving.receive(shop, _typed(SOY), key="form")
    assert receiving.receive(shop, _typed(JARS), key="form") == first
    assert len(lots.listing(shop)) == 1


def test_a_delivery_is_undone_whole_and_done_again(shop: Workshop) -> None:
    """Lots, costs and noted prices go and come back."""
    view = receiving.receive(shop, _typed(SOY, JARS, freight="7"))
    done = undo.latest(shop, f"delivery:{view.line.id}")
    assert done is not None
    assert done.said == "Received from Harbour Wax: Millpond soy, Tumbler."
    undone = undo.undo(shop, done.id)
    assert lots.listing(shop, empty=True) == ()
    assert receiving.deliveries(shop)[0].undone
    assert materials.get(shop, "millpond-soy").prices == ()
    undo.undo(shop, undone.id)
    assert receiving.get(shop, view.line.id) == view
    assert len(materials.get(shop, "millpond-soy").prices) == 1


@pytest.mark.parametrize("what", ["scrap", "count", "more"])
def test_a_delivery_is_not_undone_once_something_happened_to_a_lot(
    shop: Workshop, what: str
) -> None:
    """It says of which lot, and can be undone after that was."""
    view = receiving.receive(shop, _typed(JARS, SOY))
    done = undo.latest(shop, f"delivery:{view.line.id}")
    code = view.lots[1].code
    if what == "scrap":
        lots.scrap(shop, code, {"amount": "1 kg"})
    else:
        lots.count(shop, code, {"amount": "1 kg" if what == "count" else "21 kg"})
    assert done is not None
    with pytest.raises(Refused, match=f"Something has happened to Millpond soy, lot {code}"):
        undo.undo(shop, done.id)
    later = undo.latest(shop, f"lot:{code}")
    assert later is not None
    undo.undo(shop, later.id)
    undo.undo(shop, done.id)
    assert lots.listing(shop) == ()


def test_a_delivery_is_not_undone_from_under_what_was_scrapped_and_counted_up_again(
    shop: Workshop,
) -> None:
    """As much of it is there as came, and yet something happened: neither would come undone."""
    view = receiving.receive(shop, _typed(SOY))
    done, code = undo.latest(shop, f"delivery:{view.line.id}"), view.lots[0].code
    assert done is not None
    came = lots.get(shop, code).line.left.units // 1000
    lots.scrap(shop, code, {"amount": "100 g"})
    lots.count(shop, code, {"amount": f"{came} g"})
    with pytest.raises(Refused, match=f"Something has happened to Millpond soy, lot {code}"):
        undo.undo(shop, done.id)
    for _ in ("counting", "scrapping"):
        last = undo.latest(shop, f"lot:{code}")
        assert last is not None
        undo.undo(shop, last.id)
    undo.undo(shop, done.id)
    assert lots.get(shop, code).line.left.units == 0


def test_what_an_undone_delivery_brought_is_not_counted_up(shop: Workshop) -> None:
    """What is found lies beside a lot that came, or is a lot of its own; never beside none."""
    view = receiving.receive(shop, _typed(SOY))
    done = undo.latest(shop, f"delivery:{view.line.id}")
    assert done is not None
    undo.undo(shop, done.id)
    materials.count(shop, "millpond-soy", {"amount": "2 kg"})
    (found,) = lots.listing(shop)
    assert found.code != view.lots[0].code
    with pytest.raises(Refused, match="was undone"):
        lots.count(shop, view.lots[0].code, {"amount": "1 kg"})


HOSTILE = [
    ("supplier", "\x00"),
    ("supplier", "s" * 201),
    ("reference", "\ud800"),
    ("day", "99999-01-01"),
    ("day", "0001-01-01"),
    ("freight", "NaN"),
    ("freight", "1e400"),
    ("duty", "9" * 40),
    ("freight_by", "weight"),
    ("lines.0.material", "'; DROP TABLE stock_lot; --"),
    ("lines.0.material", "\u202egnp"),
    ("lines.0.packs", "9" * 30),
    ("lines.0.packs", "1e3"),
    ("lines.0.pack", "1e12 kg"),
    ("lines.0.pack", "10"),
    ("lines.0.price", "Infinity"),
    ("lines.0.price", "0.00001"),
    ("lines.0.price", "99999999999"),
    ("lines.0.expires", "2026-02-30"),
    ("lines.0.supplier_lot", "x\x1b[2J"),
    ("lines.00.material", "soy"),
    ("lines.99999.material", "soy"),
    ("lines.0.id", "1"),
    ("lines.٣.material", "soy"),
    ("", ""),
]


def test_hostile_texts_are_problems_of_their_field(shop: Workshop) -> None:
    """Never an error of ours, and nothing is kept."""
    for field, text in HOSTILE:
        assert field in _problems(shop, {**_typed(SOY), field: text}), (field, text)
    assert receiving.deliveries(shop) == ()


def test_markup_is_only_text(shop: Workshop) -> None:
    """It is kept as typed, for a page to escape."""
    script = "<script>alert(1)</script>"
    view = receiving.receive(
        shop, _typed({**SOY, "supplier_lot": script}, supplier=script, note="=cmd()")
    )
    assert (view.line.supplier, view.note) == (script, "=cmd()")
    assert view.lots[0].supplier_lot == script


def test_a_delivery_that_is_not_there_is_not_found(shop: Workshop) -> None:
    """Whatever the number."""
    for number in (-1, 0, 7, 2**31, 2**63):
        with pytest.raises(NotFound):
            receiving.get(shop, number)


MONEY = st.decimals(0, 500, places=4).map(str)
LINES = st.lists(
    st.tuples(
        st.sampled_from(["millpond-soy", "cedar"]), st.integers(1, 9), st.integers(1, 40_000), MONEY
    ),
    min_size=1,
    max_size=12,
)


@given(lines=LINES, charges=st.tuples(MONEY, MONEY), by=st.sampled_from(["value", "mass"]))
@settings(
    max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_lots_cost_together_what_goods_freight_and_duty_did(
    shop: Workshop, lines: list[tuple[str, int, int, str]], charges: tuple[str, str], by: str
) -> None:
    """To the last 1/10 000, however they are spread; the preview says just what is booked."""
    typed = _typed(
        *(
            {"material": name, "packs": str(packs), "pack": f"{grams} g", "price": price}
            for name, packs, grams, price in lines
        ),
        freight=charges[0],
        duty=charges[1],
        freight_by=by,
        duty_by="mass",
    )
    goods = sum((packs * Decimal(price) for _, packs, _, price in lines), Decimal(0))
    if goods == 0:
        typed["freight_by"] = "mass"
    before = receiving.preview(shop, typed)
    view = receiving.receive(shop, typed)
    assert [lot.cost for lot in view.lots] == [line.landed for line in before]
    expected = goods + Decimal(charges[0]) + Decimal(charges[1])
    assert sum((lot.cost or Decimal(0) for lot in view.lots), Decimal(0)) == expected
    assert view.line.total == expected


def test_a_name_of_two_materials_has_to_be_told_apart(shop: Workshop) -> None:
    """Their short names do; whoever has the very name as its short name is meant by it."""
    materials.save(shop, None, {"role": "wax", "name": "Sea Fern"})
    materials.save(shop, None, {"role": "dye", "name": "sea fern"})
    (what,) = _problems(shop, _typed({**SOY, "material": "SEA FERN"})).values()
    assert what == "There is more than one “SEA FERN”."
    view = receiving.receive(shop, _typed({**SOY, "material": "sea-fern-2"}))
    assert (view.lots[0].name, view.lots[0].role) == ("sea fern", "dye")


def test_a_supplier_is_found_however_an_accent_was_typed(shop: Workshop) -> None:
    """One sign or two, they look the same; a recall asks for every lot of a supplier."""
    typed = {"lines.0.material": "millpond-soy", "lines.0.packs": "1", "lines.0.pack": "1 kg"}
    for name in ("Cire d\u2019\u00c9t\u00e9", "Cire d\u2019E\u0301te\u0301"):
        receiving.receive(shop, {"supplier": name, **typed})
    assert len({line.supplier for line in receiving.deliveries(shop)}) == 1

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.workshop import Workshop, materials, settings, undo
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores import lots, receiving, shelves, stocktakes
from rushlight.workshop.stores.codes import order_code
from rushlight.workshop.stores.views import CountLine, StocktakeView
from tests.support.jars import furnish, jarred, left, stocked

DAY = date(2026, 5, 12)  # the clock's


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with two candles, a channel and two materials."""
    furnish(empty)
    return empty


@pytest.fixture
def full(shop: Workshop) -> Workshop:
    """Return one with a lot of wax (1 kg at 10), one of oil (200 g at 8) and 10 jars (at 5)."""
    stocked(shop, "millpond-soy", 1_000_000, cost=100_000, supplier_lot="MS-4")
    stocked(shop, "sea-lavender", 200_000, cost=80_000)
    jarred(shop, "slipway", 10, poured=DAY, cost=500_000)
    return shop


def _line(view: StocktakeView, name: str) -> CountLine:
    return next(line for line in view.lines if line.name == name)


def _enter(shop: Workshop, view: StocktakeView, **counts: str) -> StocktakeView:
    """Enter counts by the first word of a line's name, in small letters."""
    ids = {line.name.split()[0].lower(): line.id for line in view.lines}
    typed = {f"line.{ids[name]}": text for name, text in counts.items()}
    return stocktakes.enter(shop, view.line.id, typed)


def _refused(caught: pytest.ExceptionInfo[BadInput]) -> dict[str, str]:
    return {problem.place: problem.what for problem in caught.value.problems}


def test_a_sheet_has_a_line_for_every_lot_in_hand(full: Workshop) -> None:
    """Materials by role, then jars; what is used up is not on it."""
    gone = stocked(full, "millpond-soy", 5)
    lots.count(full, gone, {"amount": "0"})
    view = stocktakes.begin(full, {"of": "both"})
    assert [(line.name, line.role) for line in view.lines] == [
        ("Sea lavender", "fragrance"),
        ("Millpond soy", "wax"),
        ("Slipway", "jars"),
    ]
    soy = _line(view, "Millpond soy")
    assert (soy.expected, soy.supplier_lot) == (Amount(1_000_000, Measure.MASS), "MS-4")
    assert (soy.counted, soy.difference, soy.worth, soy.moved) == (None, None, None, None)
    assert (view.line.state, view.line.lines, view.line.counted) == ("open", 3, 0)
    assert stocktakes.listing(full) == (view.line,)


@pytest.mark.parametrize(
    ("typed", "names"),
    [
        ({"of": "materials"}, {"Millpond soy", "Sea lavender"}),
        ({"of": "materials", "role": "wax"}, {"Millpond soy"}),
        ({"of": "both", "role": "wax"}, {"Millpond soy", "Slipway"}),
        ({"of": "jars", "role": "wax"}, {"Slipway"}),
        ({}, {"Millpond soy", "Sea lavender", "Slipway"}),
    ],
)
def test_it_may_be_of_a_part(full: Workshop, typed: dict[str, str], names: set[str]) -> None:
    """A role is of materials; jars have none."""
    view = stocktakes.begin(full, typed)
    assert {line.name for line in view.lines} == names


def test_where_nothing_is_in_hand_there_is_nothing_to_count(shop: Workshop) -> None:
    """And what is not a choice is a problem, each at its place."""
    with pytest.raises(BadInput, match="nothing of this in hand"):
        stocktakes.begin(shop, {"of": "jars"})
    with pytest.raises(BadInput) as caught:
        stocktakes.begin(shop, {"of": "all", "role": "tallow", "blind": "perhaps", "x": ""})
    assert set(_refused(caught)) == {"of", "role", "blind", "x"}
    assert stocktakes.listing(shop) == ()


def test_blind_nothing_is_told_of_a_line_before_it_is_counted(full: Workshop) -> None:
    """Then it is, for she has to say why it differs."""
    view = stocktakes.begin(full, {"blind": "yes"})
    assert {line.expected for line in view.lines} == {None}
    view = _enter(full, view, millpond="0.9 kg")
    assert _line(view, "Millpond soy").expected == Amount(1_000_000, Measure.MASS)
    assert _line(view, "Sea lavender").expected is None


def test_differences_are_valued_at_what_their_lot_is_worth(full: Workshop) -> None:
    """100 g of wax at 10 a kilogram, 20 g of oil at 40 a kilogram, and 3 jars at 5."""
    view = stocktakes.begin(full, {})
    view = _enter(full, view, millpond="900", sea="220 g", slipway="7")
    soy, oil, jars = (_line(view, name) for name in ("Millpond soy", "Sea lavender", "Slipway"))
    assert (soy.difference, soy.worth) == (Amount(-100_000, Measure.MASS), Decimal(-1))
    assert (oil.difference, oil.worth) == (Amount(20_000, Measure.MASS), Decimal("0.80"))
    assert (jars.difference, jars.worth) == (Amount(-3, Measure.PIECES), Decimal(-15))
    assert (soy.typed, view.worth, view.line.counted) == ("900", Decimal("-15.20"), 3)
    # nothing is booked yet
    assert lots.get(full, soy.code).line.left.units == 1_000_000


def test_a_bare_number_is_in_the_unit_of_the_workshop(full: Workshop) -> None:
    """An ounce is 28.349 523 125 g (NIST Handbook 44, appendix C), a milligram the least kept."""
    settings.change(full, {"mass": "oz"})
    view = _enter(full, stocktakes.begin(full, {}), millpond="35", sea="200 g")
    assert _line(view, "Millpond soy").counted == Amount(992_233, Measure.MASS)
    assert _line(view, "Sea lavender").difference == Amount(0, Measure.MASS)


def test_booking_writes_every_difference_in_one_deed(full: Workshop) -> None:
    """The books hold what was counted; a line not counted stays; it can all be undone."""
    view = stocktakes.begin(full, {})
    view = _enter(full, view, millpond="900 g", slipway="12")
    soy, jars = _line(view, "Millpond soy").code, _line(view, "Slipway").code
    booked = stocktakes.book(full, view.line.id, {"reason": "spilt, not written down"})
    assert (booked.line.state, booked.reason) == ("booked", "spilt, not written down")
    assert booked.line.booked_at is not None
    assert booked.worth == view.worth == Decimal(9)
    assert [line.difference for line in booked.lines] == [line.difference for line in view.lines]
    lot = lots.get(full, soy)
    assert (lot.line.left.units, lot.line.worth) == (900_000, Decimal(9))
    move = lot.moves[0]
    assert (move.reason, move.note) == ("counted", "spilt, not written down")
    assert (move.stocktake, move.value) == (view.line.id, Decimal(-1))
    assert left(full, jars) == (12, 600_000)
    done = undo.latest(full, f"stocktake:{view.line.id}")
    assert done is not None
    assert "2 differences, worth £9.00" in done.said
    undone = undo.undo(full, done.id)
    assert stocktakes.get(full, view.line.id) == view
    assert left(full, jars) == (10, 500_000)
    undo.undo(full, undone.id)
    assert stocktakes.get(full, view.line.id) == booked


def test_what_was_booked_stays_as_it_was_booked(full: Workshop) -> None:
    """Whatever moves later."""
    view = _enter(full, stocktakes.begin(full, {}), millpond="900 g")
    booked = stocktakes.book(full, view.line.id, {"reason": "spilt"})
    lots.scrap(full, _line(view, "Millpond soy").code, {"amount": "500 g"})
    assert stocktakes.get(full, view.line.id) == booked


def test_a_reason_is_needed_where_anything_differs(full: Workshop) -> None:
    """Where nothing does there is none to give, and nothing but the count is kept."""
    view = _enter(full, stocktakes.begin(full, {}), millpond="900 g")
    with pytest.raises(BadInput) as caught:
        stocktakes.book(full, view.line.id, {"reason": " "})
    assert _refused(caught) == {"reason": "Something differs from the books."}
    view = _enter(full, view, millpond="1 kg")
    booked = stocktakes.book(full, view.line.id, {})
    assert (booked.line.state, booked.worth) == ("booked", Decimal(0))
    assert len(lots.get(full, _line(view, "Millpond soy").code).moves) == 1


def test_it_is_told_when_something_moved_since_the_count(full: Workshop) -> None:
    """Nothing is booked until she counts again, or says it was counted after all."""
    view = _enter(full, stocktakes.begin(full, {}), millpond="900 g", slipway="10")
    code = _line(view, "Millpond soy").code
    lots.scrap(full, code, {"amount": "50 g"})
    view = stocktakes.get(full, view.line.id)
    soy = _line(view, "Millpond soy")
    assert soy.moved == Amount(-50_000, Measure.MASS)
    assert soy.difference == Amount(-50_000, Measure.MASS)
    with pytest.raises(BadInput) as caught:
        stocktakes.book(full, view.line.id, {"reason": "spilt"})
    assert _refused(caught) == {
        "moved": "Something has moved since it was counted.",
        f"line.{soy.id}": f"50 g left {code} since it was counted.",
    }
    # sending the whole sheet again says nothing new of the line
    assert _line(_enter(full, view, millpond="900 g"), "Millpond soy").moved is not None
    recounted = _enter(full, view, millpond="850 g")
    assert _line(recounted, "Millpond soy").moved is None
    lots.count(full, code, {"amount": "960 g"})
    with pytest.raises(BadInput, match=f"10 g went into {code}"):
        stocktakes.book(full, view.line.id, {"reason": "spilt"})
    stocktakes.book(full, view.line.id, {"reason": "spilt", "moved": "as counted"})
    assert lots.get(full, code).line.left.units == 850_000


def test_an_emptied_count_is_not_counted(full: Workshop) -> None:
    """And with nothing counted there is nothing to book."""
    view = _enter(full, stocktakes.begin(full, {}), millpond="900 g")
    view = _enter(full, view, millpond="")
    assert view.line.counted == 0
    with pytest.raises(Refused, match="Nothing is counted yet"):
        stocktakes.book(full, view.line.id, {"reason": "none"})


def test_every_count_that_cannot_be_read_is_a_problem(full: Workshop) -> None:
    """At its line, and none of the sheet is kept."""
    view = stocktakes.begin(full, {})
    soy, oil = _line(view, "Millpond soy").id, _line(view, "Sea lavender").id
    jars = _line(view, "Slipway").id
    wrong = {
        f"line.{soy}": "lots",
        f"line.{oil}": "-5 g",
        f"line.{jars}": "9.5",
        "line.999": "1",
        "line.": "\x00",
        "found": "M1-8",
    }
    with pytest.raises(BadInput) as caught:
        stocktakes.enter(full, view.line.id, wrong)
    assert set(_refused(caught)) == set(wrong)
    for text in ("\ud800", "1e99 kg", "9" * 50, "<script>", "=1+1", "١ g g"):
        with pytest.raises(BadInput):
            stocktakes.enter(full, view.line.id, {f"line.{soy}": text})
    assert stocktakes.get(full, view.line.id) == view


def test_a_lot_found_comes_onto_the_sheet_by_its_code(full: Workshop) -> None:
    """The books held nothing of it; it is worth what it cost when it came."""
    empty = stocked(full, "millpond-soy", 400_000, cost=50_000)
    lots.count(full, empty, {"amount": "0"})
    view = stocktakes.begin(full, {"of": "materials"})
    number = view.line.id
    typed = {"found": f" {empty.lower()} ", "found_amount": "100"}
    view = stocktakes.enter(full, number, typed)
    found = view.lines[-1]
    assert (found.code, found.expected, found.counted) == (
        empty,
        Amount(0, Measure.MASS),
        Amount(100_000, Measure.MASS),
    )
    assert found.worth == view.worth == Decimal("1.25")
    # once more by its code: it is its line that changes
    view = stocktakes.enter(full, number, {**typed, "found_amount": "120 g"})
    assert (len(view.lines), view.worth) == (3, Decimal("1.50"))
    done = undo.latest(full, f"stocktake:{number}")
    assert done is not None
    undo.undo(full, done.id)
    stocktakes.book(full, number, {"reason": "behind the shelf"})
    assert lots.get(full, empty).line.worth == Decimal("1.25")


def test_only_lots_that_it_is_of_are_found(full: Workshop) -> None:
    """Another kind, another role, an order, or none at all: said at the field."""
    jars = jarred(full, "slipway", 2)
    oil = stocked(full, "sea-lavender", 5)
    number = stocktakes.begin(full, {"of": "materials", "role": "wax"}).line.id
    for code, what in (
        (jars, "is Slipway, and this stocktake is of materials alone"),
        (oil, "is Sea lavender, a fragrance"),
        (order_code(31), "no lot"),
        ("", "missing"),
    ):
        with pytest.raises(BadInput, match=what) as caught:
            stocktakes.enter(full, number, {"found": code, "found_amount": "1"})
        assert set(_refused(caught)) == {"found"}
    typed = {"supplier": "H", "lines.0.material": "millpond-soy", "lines.0.packs": "1"}
    view = receiving.receive(full, {**typed, "lines.0.pack": "1 kg", "lines.0.price": "9"})
    done = undo.latest(full, f"delivery:{view.line.id}")
    assert done is not None
    undo.undo(full, done.id)
    with pytest.raises(BadInput, match="was undone"):
        stocktakes.enter(full, number, {"found": view.lots[0].code, "found_amount": "1 kg"})


def test_a_lot_whose_delivery_was_undone_since_is_not_booked(full: Workshop) -> None:
    """It would be something that never came."""
    typed = {"supplier": "H", "lines.0.material": "millpond-soy", "lines.0.packs": "1"}
    came = receiving.receive(full, {**typed, "lines.0.pack": "1 kg", "lines.0.price": "9"})
    code = came.lots[0].code
    view = stocktakes.begin(full, {})
    line = next(line for line in view.lines if line.code == code)
    stocktakes.enter(full, view.line.id, {f"line.{line.id}": "1 kg"})
    done = undo.latest(full, f"delivery:{came.line.id}")
    assert done is not None
    undo.undo(full, done.id)
    with pytest.raises(BadInput, match="was undone since") as caught:
        stocktakes.book(full, view.line.id, {"reason": "?", "moved": "as counted"})
    assert set(_refused(caught)) == {f"line.{line.id}"}


def test_what_a_difference_is_worth_is_not_known_where_the_cost_is_not(shop: Workshop) -> None:
    """The amount is booked, and no worth is made up."""
    materials.receive(shop, "millpond-soy", {"amount": "1 kg"})
    view = _enter(shop, stocktakes.begin(shop, {}), millpond="900 g")
    assert (view.lines[0].worth, view.worth) == (None, Decimal(0))
    booked = stocktakes.book(shop, view.line.id, {"reason": "spilt"})
    assert (booked.lines[0].worth, booked.lines[0].difference) == (
        None,
        Amount(-100_000, Measure.MASS),
    )


def test_an_abandoned_one_books_nothing_and_is_closed(full: Workshop) -> None:
    """It may be taken up again by undoing that."""
    view = _enter(full, stocktakes.begin(full, {}), millpond="900 g")
    gone = stocktakes.abandon(full, view.line.id)
    assert (gone.line.state, gone.worth) == ("abandoned", Decimal(0))
    with pytest.raises(Refused, match="is abandoned"):
        stocktakes.enter(full, view.line.id, {})
    with pytest.raises(Refused, match="is abandoned"):
        stocktakes.book(full, view.line.id, {"reason": "x"})
    with pytest.raises(Refused, match="is abandoned"):
        stocktakes.abandon(full, view.line.id)
    done = undo.latest(full, f"stocktake:{view.line.id}")
    assert done is not None
    undo.undo(full, done.id)
    assert stocktakes.get(full, view.line.id) == view
    assert shelves.shelves(full).materials_worth == Decimal(18)


def test_keys_used_again_do_nothing_more(full: Workshop) -> None:
    """Each form may be sent twice."""
    first = stocktakes.begin(full, {}, key="a")
    assert stocktakes.begin(full, {"of": "jars"}, key="a") == first
    number, line = first.line.id, first.lines[0].id
    entered = stocktakes.enter(full, number, {f"line.{line}": "1"}, key="b")
    assert stocktakes.enter(full, number, {f"line.{line}": "2"}, key="b") == entered
    booked = stocktakes.book(full, number, {"reason": "x"}, key="c")
    assert stocktakes.book(full, number, {}, key="c") == booked
    assert len(stocktakes.listing(full)) == 1


def test_a_stocktake_that_is_not_there_is_not_found(shop: Workshop) -> None:
    """Whatever the number."""
    for number in (-1, 0, 7, 2**31, 2**63):
        with pytest.raises(NotFound):
            stocktakes.get(shop, number)


COUNTS = st.tuples(*(st.integers(0, 3_000_000) for _ in range(2)), st.integers(0, 30))


@given(counts=COUNTS)
@how(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_worth_before_and_differences_make_worth_after(
    full: Workshop, counts: tuple[int, int, int]
) -> None:
    """To the last 1/10 000, as shown before it was booked, and again when it is undone."""
    soy, oil, jars = counts
    before = shelves.shelves(full)
    view = stocktakes.begin(full, {})
    view = _enter(full, view, millpond=f"{soy} mg", sea=f"{oil} mg", slipway=str(jars))
    stocktakes.book(full, view.line.id, {"reason": "drawn at random"})
    after = shelves.shelves(full)
    was = before.materials_worth + before.jars_worth
    assert after.materials_worth + after.jars_worth == was + view.worth
    done = undo.latest(full, f"stocktake:{view.line.id}")
    assert done is not None
    undo.undo(full, done.id)
    again = shelves.shelves(full)
    assert (again.materials_worth, again.jars_worth) == (before.materials_worth, before.jars_worth)

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from rushlight.errors import BadInput, NotFound, Refused
from rushlight.store.deeds import deed_of
from rushlight.store.marks import stamp
from rushlight.workshop import Workshop, attachments, materials, settings, undo
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores import lots, receiving
from tests.support.jars import furnish, jarred, pour_of

PDF = b"%PDF-1.7 a certificate"


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a workshop with two candles and two materials."""
    furnish(empty)
    return empty


def _received(shop: Workshop, *lines: tuple[str, str, str], **more: str) -> tuple[str, ...]:
    """Receive packs: material, pack, price; return the codes of their lots."""
    typed = {"supplier": "Harbour Wax"}
    for n, (material, pack, price) in enumerate(lines):
        line = {"material": material, "packs": "1", "pack": pack, "price": price, **more}
        typed |= {f"lines.{n}.{part}": text for part, text in line.items()}
    return tuple(lot.code for lot in receiving.receive(shop, typed).lots)


def _soy(shop: Workshop, pack: str = "10 kg", price: str = "40", **more: str) -> str:
    return _received(shop, ("millpond-soy", pack, price), **more)[0]


def _undo(shop: Workshop, subject: str) -> int:
    done = undo.latest(shop, subject)
    assert done is not None
    return undo.undo(shop, done.id).id


def _problem(caught: pytest.ExceptionInfo[BadInput]) -> tuple[str, str]:
    (problem,) = caught.value.problems
    return problem.place, problem.what


def test_lots_are_listed_first_expiring_first(shop: Workshop) -> None:
    """Those without a date last, older ones before newer; empty ones when asked for."""
    plain = _soy(shop)
    later = _soy(shop, expires="2027-02-01")
    sooner = _soy(shop, expires="2026-08-01")
    oil = _received(shop, ("sea-lavender", "500 g", "20"))[0]
    assert [lot.code for lot in lots.listing(shop)] == [sooner, later, plain, oil]
    assert [lot.code for lot in lots.listing(shop, "sea-lavender")] == [oil]
    lots.scrap(shop, sooner, {"amount": "10 kg"})
    assert [lot.code for lot in lots.listing(shop, limit=2)] == [later, plain]
    assert lots.listing(shop, empty=True)[0].code == sooner
    with pytest.raises(NotFound):
        lots.listing(shop, "tallow")


def test_a_lot_is_found_by_its_code_as_typed_or_scanned(shop: Workshop) -> None:
    """A slip is told apart from a lot that is not there."""
    code = _soy(shop)
    assert code == "M1-9"  # check digit of 1: ISO/IEC 7064 MOD 11,10, by python-stdnum
    assert lots.get(shop, " m1 9 ").line.code == code
    with pytest.raises(BadInput, match="slip"):
        lots.get(shop, "M1-8")
    with pytest.raises(BadInput, match="not a code"):
        lots.get(shop, "<b>M1-9</b>")
    with pytest.raises(NotFound):
        lots.get(shop, "M2-7")


def test_what_is_scrapped_takes_its_part_of_the_cost_along(shop: Workshop) -> None:
    """3 of 10 kg at 40 take 12; a bare number is in the unit of the workshop."""
    code = _soy(shop)
    view = lots.scrap(shop, code, {"amount": "3000", "note": "dropped"})
    assert (view.line.left, view.line.worth) == (Amount(7_000_000, Measure.MASS), Decimal(28))
    assert view.line.cost == Decimal(40)
    move = view.moves[0]
    assert (move.reason, move.note, move.value) == ("scrapped", "dropped", Decimal(-12))
    assert [m.reason for m in view.moves] == ["scrapped", "received"]
    settings.change(shop, {"mass": "oz"})
    # an ounce is 28.349 523 125 g (NIST Handbook 44, appendix C)
    assert lots.scrap(shop, code, {"amount": "1"}).moves[0].amount.units == -28_350


def test_no_more_is_scrapped_than_is_left(shop: Workshop) -> None:
    """Said in place, with what is left."""
    code = _soy(shop)
    with pytest.raises(BadInput) as caught:
        lots.scrap(shop, code, {"amount": "10.5 kg"})
    assert _problem(caught) == ("amount", "Only 10\xa0000 g of this lot is left.")
    for amount, what in (("", "missing"), ("0 g", "Nothing would"), ("some", "“some”")):
        with pytest.raises(BadInput, match=what):
            lots.scrap(shop, code, {"amount": amount})


def test_a_count_books_the_difference_with_its_reason(shop: Workshop) -> None:
    """Where she gives none, “Counted” it is; a key used again books nothing more."""
    code = _soy(shop)
    view = lots.count(shop, code, {"amount": "9.5 kg"}, key="form")
    assert (view.moves[0].amount.units, view.moves[0].value) == (-500_000, Decimal(-2))
    assert (view.moves[0].reason, view.moves[0].note) == ("counted", "Counted")
    assert lots.count(shop, code, {"amount": "1 kg"}, key="form") == view
    view = lots.count(shop, code, {"amount": "10 kg", "note": "found a slab"})
    assert (view.moves[0].value, view.moves[0].note) == (Decimal(2), "found a slab")
    same = lots.count(shop, code, {"amount": "10 kg"})
    assert len(same.moves) == 3
    _undo(shop, f"lot:{code}")
    assert lots.get(shop, code).line.worth == Decimal(38)


def test_what_is_found_of_an_empty_lot_costs_what_it_cost_when_it_came(shop: Workshop) -> None:
    """There is nothing left that it could be as much worth as."""
    code = _soy(shop)
    lots.count(shop, code, {"amount": "0"})
    assert lots.get(shop, code).line.worth == Decimal(0)
    assert lots.count(shop, code, {"amount": "2 kg"}).line.worth == Decimal(8)


def test_the_cost_of_a_lot_may_be_entered_later(shop: Workshop) -> None:
    """What is left bears its share; what has left already went without one."""
    code = _soy(shop, price="")
    lots.scrap(shop, code, {"amount": "4 kg"})
    unknown = lots.get(shop, code).line
    assert (unknown.cost, unknown.worth, unknown.unit_cost) == (None, None, None)
    view = lots.worth(shop, code, {"cost": "50"}, key="form")
    assert (view.line.cost, view.line.worth, view.line.unit_cost) == (
        Decimal(30),
        Decimal(30),
        Decimal(5),
    )
    move = view.moves[0]
    assert (move.reason, move.amount.units, move.value) == ("valued", 0, Decimal(30))
    assert lots.worth(shop, code, {"cost": "1"}, key="form") == view
    # it is put right, and what leaves takes its part
    lots.scrap(shop, code, {"amount": "3 kg"})
    view = lots.worth(shop, code, {"cost": "40"})
    assert (view.line.worth, view.line.unit_cost) == (Decimal(12), Decimal(4))
    assert view.line.cost == Decimal(27)  # 15 left with what was scrapped
    _undo(shop, f"lot:{code}")
    assert lots.get(shop, code).line.worth == Decimal(15)


def test_a_cost_entered_and_undone_is_not_known_again(shop: Workshop) -> None:
    """And undoing that makes it known again; the listing says the same."""
    code = _soy(shop, price="")
    lots.worth(shop, code, {"cost": "50"})
    undone = _undo(shop, f"lot:{code}")
    assert lots.get(shop, code).line.cost is None
    assert lots.listing(shop)[0].worth is None
    undo.undo(shop, undone)
    assert lots.get(shop, code).line.cost == Decimal(50)


def test_a_cost_entered_is_not_undone_once_a_part_of_it_left(shop: Workshop) -> None:
    """What left took its part along; the cost can still be put right."""
    code = _soy(shop, price="")
    lots.worth(shop, code, {"cost": "50"})
    jarred(shop, "slipway", 4, of={code: 5_000_000})
    with pytest.raises(Refused, match="took a part of its cost along"):
        _undo(shop, f"lot:{code}")
    assert lots.worth(shop, code, {"cost": "30"}).line.worth == Decimal(15)


def test_a_cost_is_only_entered_where_there_is_none(shop: Workshop) -> None:
    """Nor of what is used up, nor nothing."""
    priced, bare = _soy(shop), _soy(shop, price="")
    with pytest.raises(Refused, match="known from its delivery"):
        lots.worth(shop, priced, {"cost": "5"})
    for cost, what in (("0", "comes to nothing"), ("", "missing"), ("-4", "less than zero")):
        with pytest.raises(BadInput, match=what) as caught:
            lots.worth(shop, bare, {"cost": cost})
        assert caught.value.problems[0].place == "cost"
    lots.scrap(shop, bare, {"amount": "10 kg"})
    with pytest.raises(Refused, match="Nothing of this lot is left"):
        lots.worth(shop, bare, {"cost": "5"})


def test_a_delivery_is_not_undone_under_a_pour(shop: Workshop) -> None:
    """Not even when a count has made up for what the pour took."""
    code = _soy(shop)
    jarred(shop, "slipway", 4, of={code: 5_000_000})
    lots.count(shop, code, {"amount": "10 kg"})
    assert lots.get(shop, code).line.worth == Decimal(40)
    with pytest.raises(Refused, match="it was used"):
        _undo(shop, "delivery:1")


def test_a_receipt_without_papers_is_not_undone_once_something_happened(shop: Workshop) -> None:
    """The same holds where there is no delivery."""
    materials.receive(shop, "millpond-soy", {"amount": "5 kg"})
    done = undo.listing(shop)[0]
    (lot,) = lots.listing(shop)
    lots.worth(shop, lot.code, {"cost": "20"})
    with pytest.raises(Refused, match="its cost was entered"):
        undo.undo(shop, done.id)


def test_a_certificate_belongs_to_its_lot_alone(shop: Workshop) -> None:
    """It is not the material's sheet, and the same file may be kept with both."""
    code, other = _soy(shop), _soy(shop)
    file = lots.attach(shop, code, "coa.pdf", PDF)
    assert lots.get(shop, code).files == (file,)
    assert lots.get(shop, other).files == ()
    assert lots.attach(shop, code, "again.pdf", PDF).id == file.id
    whole = attachments.attach(shop, "millpond-soy", "sheet.pdf", PDF)
    assert whole.id != file.id
    attachments.detach(shop, file.id)
    assert lots.get(shop, code).files == ()
    assert attachments.attachment(shop, whole.id).content == PDF
    with pytest.raises(NotFound, match="no lot"):
        attachments.attach(shop, "sea-lavender", "x.pdf", PDF, lot=code)
    with pytest.raises(BadInput) as caught:
        lots.attach(shop, code, "page.html", b"<html>")
    assert caught.value.problems[0].place == "file"


def test_what_a_running_pour_holds_is_told(shop: Workshop) -> None:
    """It is still there, but not free."""
    code = _soy(shop)
    number = pour_of(shop, jarred(shop, "slipway", 1))
    with deed_of(shop.store, "test.hold", at=shop.now()) as work:
        work.change("pour", number, state="running")
        held = {"stock_lot_id": 1, "material_id": 1, "pour_id": number, "amount": 2_000_000}
        work.add("reservation", **held, at=stamp(work.at))
        work.said = "Held."
    line = lots.get(shop, code).line
    assert (line.held.units, line.left.units) == (2_000_000, 10_000_000)
    assert line.received_on == date(2026, 5, 12)
    with pytest.raises(Refused, match="is held for a pour"):
        _undo(shop, "delivery:1")

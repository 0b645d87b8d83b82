from __future__ import annotations

import pytest

from rushlight.errors import BadInput, NotFound
from rushlight.workshop.exchange.kinds import KINDS, fields
from rushlight.workshop.exchange.mapping import (
    Mapping,
    _words,
    checked,
    name_of,
    propose,
    typed_mapping,
    unit_of,
)
from rushlight.workshop.exchange.reader import Table, read_table


def table(*headings: str) -> Table:
    """Return a table of such headings, and a row."""
    line = ";".join(f'"{h}"' for h in headings)
    return read_table("x.csv", f"{line}\n{';'.join('1' for _ in headings)}\n".encode())


def test_columns_are_found_by_the_words_of_the_trade() -> None:
    """Whatever case, order, filling words and unit; what no field is called goes nowhere."""
    found = propose(
        "materials",
        table(
            "Item name", "TYPE", "price, GBP", "Size of the pack (kg)", "Vendor", "Qty", "Colour"
        ),
    )
    assert dict(found.columns) == {
        "role": 1,
        "name": 0,
        "supplier": 4,
        "pack": 3,
        "price": 2,
        "on_hand": 5,
    }


@pytest.mark.parametrize(
    "heading", ["price per kg", "Price (GBP/kg)", "unit price", "total", "cost"]
)
def test_a_price_of_something_else_is_not_taken_for_a_pack_price(heading: str) -> None:
    """A guess would be wrong by the size of a pack; she may still choose it."""
    assert "price" not in propose("deliveries", table("day", heading)).columns


def test_each_column_goes_to_one_field_and_the_better_word_wins() -> None:
    """“Name” is the name, and “item” then goes nowhere."""
    found = propose("materials", table("item", "name", "product"))
    assert dict(found.columns) == {"name": 1}


def test_no_two_fields_of_a_kind_are_called_alike() -> None:
    """Else the order of a table here would decide, unseen."""
    for kind in KINDS:
        words = [w for f in fields(kind) for w in {_words(word) for word in f.words}]
        assert len(words) == len(set(words)), kind


@pytest.mark.parametrize(
    ("heading", "name", "unit"),
    [
        ("price (GBP)", "price", "GBP"),
        ("Price £", "Price", "£"),
        ("on hand [kg]", "on hand", "kg"),
        ("on hand, kg", "on hand", "kg"),
        ("Pack in g", "Pack", "g"),
        ("Flash point (°C)", "Flash point", "°C"),
        ("Density (g/ml)", "Density", "g/ml"),
        ("cure (days)", "cure", "days"),
        ("quantity (pcs)", "quantity", "pcs"),
        ("Date (delivery)", "Date (delivery)", ""),
        ("Pack size", "Pack size", ""),
        ("(kg)", "(kg)", ""),
    ],
)
def test_the_unit_of_a_heading_is_told_from_its_name(heading: str, name: str, unit: str) -> None:
    """In brackets, after a comma or “in”, as a sign; other words are part of the name."""
    assert (name_of(heading), unit_of(heading)) == (name, unit)


def test_a_form_says_which_column_is_which() -> None:
    """By number or heading; empty leaves a field out; dates are as she says."""
    t = table("a", "b", "c", "d", "e")
    typed = {
        "day": "0",
        "supplier": "B",
        "material": "c",
        "packs": "3",
        "pack": "e",
        "price": "",
        "dates": "dmy",
    }
    found = typed_mapping("deliveries", t, typed)
    assert found == Mapping(
        {"day": 0, "supplier": 1, "material": 2, "packs": 3, "pack": 4}, dates="dmy"
    )


def test_everything_wrong_with_a_mapping_is_said_at_once() -> None:
    """A field and a column that are not there, a column twice, fields missing, odd dates."""
    t = table("a", "b")
    with pytest.raises(BadInput) as caught:
        typed_mapping("orders", t, {"nose": "0", "candle": "7", "jars": "²", "dates": "moon"})
    assert {p.place for p in caught.value.problems} == {"nose", "candle", "jars", "dates"}
    with pytest.raises(BadInput) as caught:
        checked("materials", t, Mapping({"role": 0, "note": 0, "kind": 9}))
    assert {p.place for p in caught.value.problems} == {"name", "note", "kind"}


def test_only_three_kinds_can_come_in() -> None:
    """Another is not found."""
    with pytest.raises(NotFound, match="materials, deliveries, orders"):
        propose("candles", table("a"))

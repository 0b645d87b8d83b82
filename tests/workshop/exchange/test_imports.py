from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from decimal import Decimal

import pytest

from rushlight.errors import BadInput, Refused
from rushlight.workshop import Workshop, materials, settings, undo
from rushlight.workshop.exchange.imports import Mapping, Preview, preview, propose, write
from rushlight.workshop.exchange.reader import Table, read_table
from rushlight.workshop.stores import orders, receiving
from tests.support.dumps import dump

MATERIALS = """\
type,name,flash point (°C),pack,price (GBP),supplier,on hand,unit,stock value,low at,lot,expires
oil,Night air,93,1 kg,28.50,Ropewalk,2.5,kg,70,500 g,NA-7,2027-05-01
wick,Flat 9,,100,8,Ropewalk,120,pcs,,20,,
wax,Dune soy,,10 kg,48.5,Mill & Co,22,lb,,,,
"""
DELIVERIES = """\
date;supplier;invoice;item;qty;pack size;price;batch;best before;freight
11/05/2026;Ropewalk;A1;Millpond soy;2;10 kg;48,50;L9;11/05/2027;12
11/05/2026;Ropewalk;A1;Lake mint;1;500 g;20,00;;;
10/05/2026;Ropewalk;A1;Lake mint;1;500 g;20,00;;;
"""
ORDERS = """\
order number,customer,email,date,due,product,qty,price,channel
1001,Ann,ann@example.org,2026-05-10,2026-05-20,First swim,3,24,Saturday market
1001,Ann,,2026-05-10,,slipway,2,22.50,Saturday market
,,,2026-05-11,,Slipway,1,22.50,at-the-boathouse-door
"""


def table(text: str) -> Table:
    """Return a CSV file as a table."""
    return read_table("list.csv", text.encode())


def asked(kind: str, text: str, dates: str = "ymd") -> tuple[str, Table, Mapping]:
    """Return what preview and write are asked, the columns as proposed."""
    found = table(text)
    return kind, found, Mapping(propose(kind, found).columns, dates)


def problems(found: Preview) -> dict[tuple[int, str], str]:
    """Return what is wrong by row and column."""
    return {(p.row, p.column): p.what for p in found.problems}


def test_materials_come_in_with_facts_prices_and_stock(empty: Workshop) -> None:
    """22 lb are 9.979 kg (1 lb is 0.45359237 kg, NIST Handbook 44, Appendix C); worth 48.40.

    Without a stock value the lot is worth what the price in the list says: 120 wicks at 0.08,
    and 9.9790 kg at 4.85.
    """
    what = asked("materials", MATERIALS)
    seen = preview(empty, *what)
    assert (seen.will, seen.ready) == ("3 new materials, 3 prices and 3 lots", True)
    written = write(empty, *what)
    assert written.said == "Imported 3 new materials, 3 prices and 3 lots from list.csv."
    oil = materials.get(empty, "night-air")
    assert (oil.role, oil.low_at, oil.on_hand.units) == ("fragrance", "500 g", 2_500_000)
    assert [(f.key, f.value, f.source) for f in oil.facts] == [("flash_point", "93 °C", "list.csv")]
    assert (oil.prices[0].supplier, oil.prices[0].price) == ("Ropewalk", Decimal("28.5"))
    assert materials.get(empty, "flat-9").on_hand.pieces == 120
    assert materials.get(empty, "dune-soy").on_hand.units == 9_979_032
    lots = _lots(empty)
    assert lots["Night air"] == (700_000, 1, "NA-7", "2027-05-01", "expiry")
    assert lots["Flat 9"] == (96_000, 1, "", None, "")
    assert lots["Dune soy"] == (483_983, 1, "", None, "")


def _lots(shop: Workshop) -> dict[str, tuple[object, ...]]:
    from sqlalchemy import select

    from rushlight.store.tables import material, stock_lot

    columns = (stock_lot.c.cost, stock_lot.c.costed, stock_lot.c.supplier_lot)
    query = select(material.c.name, *columns, stock_lot.c.expires_on, stock_lot.c.date_kind)
    with shop.store.reading() as connection:
        rows = connection.execute(query.join(material, material.c.id == stock_lot.c.material_id))
        return {row[0]: tuple(row[1:]) for row in rows}


def test_the_preview_shows_what_was_understood_and_writes_nothing(empty: Workshop) -> None:
    """Units of the heading and of the row, money in the currency, days in ISO 8601."""
    before = dump(empty)
    seen = preview(empty, *asked("materials", MATERIALS))
    shown = dict(zip((f.key for f in seen.fields), seen.rows[0].values, strict=True))
    assert shown == {
        "role": "oil",
        "name": "Night air",
        "fact.flash_point": "93 °C",
        "pack": "1000 g",
        "price": "£28.50",
        "supplier": "Ropewalk",
        "on_hand": "2500 g",
        "unit": "kg",
        "worth": "£70.00",
        "low_at": "500 g",
        "supplier_lot": "NA-7",
        "expires": "2027-05-01",
    }
    assert [row.number for row in seen.rows] == [2, 3, 4]
    assert "undone" in seen.undo
    assert "suppliers" in seen.undo
    assert dump(empty) == before


def test_the_same_list_again_changes_nothing(empty: Workshop) -> None:
    """Known values, prices in force and stock that is there are passed over."""
    what = asked("materials", MATERIALS)
    write(empty, *what)
    again = preview(empty, *what)
    assert (again.will, again.ready) == ("nothing: all of it is as it stands", False)
    before = dump(empty)
    assert write(empty, *what).deed is None
    assert dump(empty) == before


def test_a_list_changes_what_it_names_and_leaves_the_rest(empty: Workshop) -> None:
    """An empty cell says nothing; a new price stands beside the old; stock is not recounted."""
    write(empty, *asked("materials", MATERIALS))
    text = (
        "role,name,note,low at,price,pack,supplier\nfragrance,NIGHT AIR,sharp,,30,1 kg,ropewalk\n"
    )
    seen = preview(empty, *asked("materials", text))
    assert seen.will == "1 changed material and 1 price"
    write(empty, *asked("materials", text))
    oil = materials.get(empty, "night-air")
    assert (oil.note, oil.low_at, oil.facts[0].value) == ("sharp", "500 g", "93 °C")
    assert [(p.supplier, p.price) for p in oil.prices] == [
        ("Ropewalk", Decimal("28.5")),
        ("Ropewalk", Decimal(30)),
    ]
    count = "role,name,on hand\noil,Night air,3 kg\n"
    seen = preview(empty, *asked("materials", count))
    assert problems(seen) == {(2, "on hand"): "Some of it is in hand already."}


def test_every_problem_of_every_row_is_shown_at_once(empty: Workshop) -> None:
    """Whatever it is: a missing name, a unit, a fact, a mark, a formula, a row twice."""
    text = (
        "role,name,flash point,pack,price,supplier,on hand,stock value,note\n"
        'oil,,93 C,1 kg,"1,5",Ropewalk,,,\n'
        "oil,Night air,8 oz,1 kg,1.5,Ropewalk,,12,=A1\n"
        "oil,night  AIR,93 C,10,2.25,Ropewalk,1 fl oz,,\n"
        'boat,Oar,,,,Ropewalk,,,"@x"\n'
        'wick,Flat 9,93 C,100,"1,234",Ropewalk,x,,\n'
    )
    found = problems(preview(empty, *asked("materials", text)))
    assert found.keys() == {
        (2, "name"),
        (2, "price"),
        (3, "flash point"),
        (3, "stock value"),
        (3, "note"),
        (4, "name"),
        (4, "pack"),
        (4, "on hand"),
        (5, "role"),
        (5, "supplier"),
        (5, "note"),
        (6, "flash point"),
        (6, "price"),
        (6, "on hand"),
    }
    assert "decimal comma" in found[2, "price"]
    assert "two ways" in found[6, "price"]
    assert "formula" in found[3, "note"]
    assert found[4, "name"] == "Row 3 has this material already."


def test_the_last_row_bad_means_nothing_is_written(empty: Workshop) -> None:
    """Every table is as it was, to the byte; the problem has its row and column."""
    write(empty, *asked("materials", MATERIALS))
    before = dump(empty)
    good = "".join(f"wax,Wax {i},1 kg\n" for i in range(50))
    with pytest.raises(BadInput) as caught:
        write(empty, *asked("materials", f"role,name,on hand (kg)\n{good}wax,Last,1 kg x\n"))
    assert {p.place for p in caught.value.problems} == {"row 52, on hand (kg)"}
    assert dump(empty) == before


def test_an_import_is_one_deed_and_undone_as_one(empty: Workshop) -> None:
    """Stock goes, materials and prices are out of use; undone again, all of it is back."""
    written = write(empty, *asked("materials", MATERIALS))
    assert written.deed is not None
    undone = undo.undo(empty, written.deed)
    assert materials.listing(empty) == ()
    undo.undo(empty, undone.id)
    assert {m.on_hand.units for m in materials.listing(empty)} == {2_500_000, 120, 9_979_032}


def test_what_something_later_rests_on_is_not_undone(empty: Workshop) -> None:
    """A material changed since by hand; then undo that first."""
    written = write(empty, *asked("materials", MATERIALS))
    materials.save(empty, "night-air", {"note": "sharp"})
    assert written.deed is not None
    with pytest.raises(Refused, match="Something later rests on this"):
        undo.undo(empty, written.deed)


def test_a_form_sent_twice_imports_once(empty: Workshop) -> None:
    """By its key; the answer is that of the first time."""
    what = asked("materials", MATERIALS)
    first = write(empty, *what, key="k1")
    before = dump(empty)
    assert write(empty, *what, key="k1") == first
    assert dump(empty) == before


def test_deliveries_come_in_line_by_line(shop: Workshop) -> None:
    """Rows of a day, supplier and reference are one delivery; freight is spread by value.

    Worked by hand: goods 97.00 and 20.00, freight 12: 97/117 of it is 9.9487, landed 106.9487.
    """
    what = asked("deliveries", DELIVERIES, "dmy")
    seen = preview(shop, *what)
    assert (seen.will, seen.ready) == ("2 deliveries and 3 lots", True)
    held = materials.get(shop, "millpond-soy").on_hand.units
    write(shop, *what)
    assert materials.get(shop, "millpond-soy").on_hand.units - held == 20_000_000
    both = [receiving.get(shop, line.id) for line in receiving.deliveries(shop, limit=2)]
    one = next(d for d in both if d.line.lots == 2)
    assert (one.line.supplier, one.line.reference, one.line.day) == (
        "Ropewalk",
        "A1",
        date(2026, 5, 11),
    )
    assert one.freight == 12
    soy = next(lot for lot in one.lots if lot.material == "millpond-soy")
    assert (soy.supplier_lot, soy.expires_on) == ("L9", date(2027, 5, 11))
    assert soy.cost is not None
    assert abs(soy.cost - Decimal("106.9487")) <= Decimal("0.0001")


def test_a_delivery_that_is_there_already_is_not_counted_twice(shop: Workshop) -> None:
    """The same supplier, day and reference: the whole file is refused."""
    write(shop, *asked("deliveries", DELIVERIES, "dmy"))
    before = dump(shop)
    seen = preview(shop, *asked("deliveries", DELIVERIES, "dmy"))
    assert set(problems(seen)) == {(2, "invoice"), (4, "invoice")}
    with pytest.raises(BadInput, match="already"):
        write(shop, *asked("deliveries", DELIVERIES, "dmy"))
    assert dump(shop) == before


def test_days_that_can_be_read_in_two_ways_are_asked_about(shop: Workshop) -> None:
    """11/05 is May or November; nothing is guessed, not even where it could only be one."""
    found = problems(preview(shop, *asked("deliveries", DELIVERIES)))
    assert {key for key in found if key[1] == "date"} == {(2, "date"), (3, "date"), (4, "date")}
    odd = DELIVERIES.replace("10/05/2026", "31/02/2026")
    found = problems(preview(shop, *asked("deliveries", odd, "dmy")))
    assert "31/02/2026" in found[4, "date"]


def test_two_freights_for_one_delivery_are_a_problem(shop: Workshop) -> None:
    """Both rows are named."""
    text = DELIVERIES.replace("20,00;;;\n10", "20,00;;;14\n10")
    found = problems(preview(shop, *asked("deliveries", text, "dmy")))
    assert found[3, "freight"] == "“14” here, and “12” in row 2, which belongs to it."


def test_a_material_that_is_not_there_is_named_in_its_row(shop: Workshop) -> None:
    """The lines of a delivery keep their rows."""
    text = DELIVERIES.replace("A1;Lake mint", "A1;Lake minth", 1)
    found = problems(preview(shop, *asked("deliveries", text, "dmy")))
    assert set(found) == {(3, "item")}
    assert "Lake minth" in found[3, "item"]


def test_orders_come_in_with_buyers_and_lines(shop: Workshop) -> None:
    """Rows of one order number are one order, and it can be found by that number again."""
    seen = preview(shop, *asked("orders", ORDERS))
    assert (seen.will, seen.ready) == ("2 orders and 6 jars", True)
    before = {line.code for line in orders.listing(shop, limit=500)}
    write(shop, *asked("orders", ORDERS))
    made = [line for line in orders.listing(shop, limit=500) if line.code not in before]
    views = sorted((orders.get(shop, line.code) for line in made), key=lambda v: -v.line.jars)
    two, one = views
    assert (two.line.buyer, two.contact, two.note) == ("Ann", "ann@example.org", "Order 1001")
    assert (two.line.takings, two.line.due_on) == (Decimal(117), date(2026, 5, 20))
    assert [(item.candle, item.jars) for item in two.items] == [("first-swim", 3), ("slipway", 2)]
    assert (one.channel, one.line.buyer) == ("at-the-boathouse-door", "")
    again = problems(preview(shop, *asked("orders", ORDERS)))
    assert again == {(2, "order number"): "“Order 1001” is in the workshop already."}


def test_an_order_picked_since_is_not_undone_from_under_its_jars(shop: Workshop) -> None:
    """The pick is about the order, and the import touched that order."""
    written = write(shop, *asked("orders", ORDERS))
    newest = next(o for o in orders.listing(shop, state="open", limit=500) if o.jars == 5)
    orders.cancel(shop, newest.code)
    assert written.deed is not None
    with pytest.raises(Refused, match="later rests"):
        undo.undo(shop, written.deed)


def test_problems_of_orders_are_put_in_their_rows(shop: Workshop) -> None:
    """No such candle or channel, no jars, due before placed, two buyers of one order."""
    text = (
        "order,channel,buyer,placed,due,candle,jars,price\n"
        "7,Saturday market,Ann,2026-05-10,2026-05-01,Slipway,0,24\n"
        "7,Saturday market,Bob,2026-05-10,,Slip way,2,24\n"
        "8,the moon,Ann,2026-05-10,,Slipway,two,$4\n"
    )
    found = problems(preview(shop, *asked("orders", text)))
    assert found.keys() == {
        (2, "due"),
        (2, "jars"),
        (3, "buyer"),
        (3, "candle"),
        (4, "channel"),
        (4, "jars"),
        (4, "price"),
    }


def test_the_decimal_mark_of_the_workshop_decides_what_is_odd(empty: Workshop) -> None:
    """Where the comma is usual, “1.250” may be a thousand: it is asked about, never guessed."""
    text = "role,name,low at\nwax,Soy,1.250 g\n"
    assert preview(empty, *asked("materials", text)).ready
    settings.change(empty, {"decimal": ","})
    found = problems(preview(empty, *asked("materials", text)))
    assert found == {(2, "low at"): "“1.250 g” can be read in two ways."}


def test_a_workbook_comes_in_like_a_csv_file(empty: Workshop) -> None:
    """Numbers and days as the cells hold them; a number has no doubtful decimal mark."""
    import io

    from openpyxl import Workbook

    settings.change(empty, {"decimal": ","})
    book = Workbook()
    page = book.active
    assert page is not None
    page.append(["role", "name", "on hand (kg)", "expires", "stock value"])
    page.append(["wax", "Soy", 1.125, date(2027, 5, 1), 5.5])
    page.append(["wax", "Palm", "2,5", None, 7])
    held = io.BytesIO()
    book.save(held)
    found = read_table("list.xlsx", held.getvalue())
    write(empty, "materials", found, propose("materials", found))
    assert [m.on_hand.units for m in materials.listing(empty)] == [2_500_000, 1_125_000]
    assert _lots(empty)["Soy"] == (55_000, 1, "", "2027-05-01", "expiry")


def test_columns_that_go_nowhere_are_named(empty: Workshop) -> None:
    """So that nothing is left out unseen."""
    seen = preview(empty, *asked("materials", "role,name,colour of the lid\nwax,Soy,red\n"))
    assert seen.unused == ("colour of the lid",)


def test_a_preview_keeps_no_bench_waiting(empty: Workshop) -> None:
    """It is done in a copy: while another program writes, it is shown all the same."""
    if empty.store.path is None:
        pytest.skip("on a server it is done in the workshop itself, and given up")
    with closing(sqlite3.connect(empty.store.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert preview(empty, *asked("materials", MATERIALS)).ready
        other.execute("ROLLBACK")

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from sqlalchemy import select

from rushlight.errors import NotFound, Refused
from rushlight.heat.watch import Stopped
from rushlight.store import dialect, tables, upgrade
from rushlight.store.archive import tables_of
from rushlight.store.place import Store, create_store
from rushlight.store.tables.described import _read
from rushlight.workshop import Workshop, candles, hazards, materials, undo
from rushlight.workshop.exchange import archive, archive_parts, archive_reader
from rushlight.workshop.opening import open_workshop
from tests.support import archives, jars
from tests.support.homes import Home
from tests.support.postgres import Cluster

Clock = Callable[[], Any]

PDF = b"%PDF-1.7\n" + bytes(range(256)) * 40


def _lived_in(shop: Workshop) -> None:
    """Do in a workshop something of every kind: lots, jars, a file twice, something undone."""
    code = jars.stocked(shop, "millpond-soy", 5_000_000, supplier_lot='A,"7', from_whom="Nobody")
    jars.jarred(shop, "low-water", 12, of={code: 1_000_000})
    for slug in ("millpond-soy", "dust-cover"):
        hazards.attach(shop, slug, "sheet.pdf", PDF)
    materials.save(shop, None, {"role": "wick", "name": "Undone"})
    latest = undo.latest(shop)
    assert latest is not None
    undo.undo(shop, latest.id)


@pytest.fixture
def lived(shop: Workshop) -> Workshop:
    """Return the demonstration with something of every kind in it."""
    _lived_in(shop)
    return shop


def test_a_workshop_comes_back_identical(
    lived: Workshop, home: Home, clock: Clock, tmp_path: Path
) -> None:
    """A second export of the new workshop is the first, byte for byte."""
    first = archive.write(lived, tmp_path / "first.zip")
    again = archive.read(first.path, home.unused("again"), clock=clock)
    second = archive.write(again, tmp_path / "second.zip")
    again.close()
    assert first.rows == second.rows > 800
    assert first.bytes == first.path.stat().st_size
    assert first.path.read_bytes() == second.path.read_bytes()


@pytest.mark.once
def test_a_workshop_moves_from_a_file_to_a_server_and_back(
    lived: Workshop, server: Cluster, clock: Clock, tmp_path: Path
) -> None:
    """Neither way is anything lost: the tables are the same, byte for byte."""
    first = archives.written(lived, tmp_path / "first.zip")
    address = server.empty()
    there = archive.read(first, address, clock=clock)
    second = archives.written(there, tmp_path / "second.zip")
    there.close()
    back = archive.read(second, tmp_path / "back.rushlight", clock=clock)
    third = archives.written(back, tmp_path / "third.zip")
    back.close()
    server.drop(address)
    wanted = archives.tables(first)
    assert archives.tables(second) == wanted
    assert archives.tables(third) == wanted


def test_work_goes_on_in_the_new_workshop(
    lived: Workshop, home: Home, clock: Clock, tmp_path: Path
) -> None:
    """What is added gets numbers of its own, and what was done before can be undone."""
    first = archives.written(lived, tmp_path / "first.zip")
    again = archive.read(first, home.unused("again"), clock=clock)
    before = undo.latest(again)
    assert before == undo.latest(lived)
    materials.save(again, None, {"role": "wax", "name": "After the move"})
    added = undo.latest(again)
    assert added is not None
    undo.undo(again, added.id)
    assert before is not None
    undo.undo(again, before.id)
    again.close()


def test_balances_come_back_though_they_are_left_out(
    lived: Workshop, home: Home, clock: Clock, tmp_path: Path
) -> None:
    """The database of the new workshop reckons them from the movements, to the last unit."""
    first = archives.written(lived, tmp_path / "first.zip")
    assert not {f"tables/{name}.csv" for name in tables.DERIVED} & archives.entries(first).keys()
    again = archive.read(first, home.unused("again"), clock=clock)
    for table in (tables.stock_balance, tables.jar_balance):
        query = select(table).order_by(*table.primary_key.columns)
        with lived.store.reading() as one, again.store.reading() as other:
            wanted = one.execute(query).all()
            assert wanted
            assert other.execute(query).all() == wanted
    again.close()


def test_files_are_entries_named_by_what_is_in_them(
    lived: Workshop, home: Home, clock: Clock, tmp_path: Path
) -> None:
    """One kept twice is written once, and both come back."""
    first = archives.written(lived, tmp_path / "first.zip")
    name = f"files/{hashlib.sha256(PDF).hexdigest()}.pdf"
    there = archives.entries(first)
    assert [entry for entry in there if entry.startswith("files/")] == [name]
    assert there[name] == PDF
    rows = list(csv.DictReader(io.StringIO(there["tables/attachment.csv"].decode(), newline="")))
    assert [row["content"] for row in rows] == [name, name]
    again = archive.read(first, home.unused("again"), clock=clock)
    for row in rows:
        assert hazards.attachment(again, int(row["id"])).content == PDF
    again.close()


@pytest.mark.once
def test_what_is_written_depends_on_the_workshop_alone(
    lived: Workshop, tmp_path: Path, clock: Any
) -> None:
    """A day later only `made_at` differs."""
    first = archives.entries(archives.written(lived, tmp_path / "first.zip"))
    clock.pass_by(days=1)
    second = archives.entries(archives.written(lived, tmp_path / "second.zip"))
    assert list(first) == list(second)
    one, other = json.loads(first.pop("manifest.json")), json.loads(second.pop("manifest.json"))
    assert first == second
    assert one.pop("made_at") == "2026-05-12T09:30:00.000Z"
    assert other.pop("made_at") == "2026-05-13T09:30:00.000Z"
    assert one == other


@pytest.mark.once
def test_the_manifest_says_what_there_is(lived: Workshop, tmp_path: Path) -> None:
    """Rows, bytes and SHA-256 of every entry, as another program counts them."""
    there = archives.entries(archives.written(lived, tmp_path / "first.zip"))
    told = json.loads(there.pop("manifest.json"))
    assert told["rushlight_archive"] == 1
    assert told["schema"] == tables.SCHEMA
    assert told["entries"].keys() == there.keys()
    for name, content in there.items():
        entry = told["entries"][name]
        assert entry["bytes"] == len(content)
        assert entry["sha256"] == hashlib.sha256(content).hexdigest()
        if name.endswith(".csv"):
            reader = csv.reader(io.StringIO(content.decode(), newline=""), strict=True)
            assert entry["rows"] == len(list(reader)) - 1


@pytest.mark.once
def test_the_schema_is_valid_and_describes_every_row(lived: Workshop, tmp_path: Path) -> None:
    """JSON Schema 2020-12 by a checker of its own; the rows of a workshop hold to it."""
    there = archives.entries(archives.written(lived, tmp_path / "first.zip"))
    schema = json.loads(there["schema.json"])
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema_rs.meta.validate(schema)
    rows: dict[str, list[dict[str, Any]]] = {}
    with lived.store.reading() as connection:
        for table in tables_of(connection):
            found = connection.execute(select(table)).mappings().all()
            rows[str(table.name)] = [{str(k): v for k, v in row.items()} for row in found]
    for row in rows["attachment"]:
        row["content"] = f"files/{row['digest']}.pdf"
    validator = jsonschema_rs.Draft202012Validator(schema, validate_formats=True)
    validator.validate(rows)
    rows["movement"][0]["amount"] = "much"
    assert not validator.is_valid(rows)


@pytest.mark.once
def test_every_column_is_described(empty: Workshop, tmp_path: Path) -> None:
    """In words; a number with its unit; a link with what it points at; nothing else is named."""
    there = archives.entries(archives.written(empty, tmp_path / "first.zip"))
    found = json.loads(there["schema.json"])["$defs"]
    assert found.keys() == set(tables.metadata.tables) - set(tables.DERIVED)
    for name, table in found.items():
        assert table["description"], name
        for column, said in table["properties"].items():
            assert said["description"], f"{name}.{column}"
            links = tables.metadata.tables[name].c[column].foreign_keys
            wanted = {f"{link.column.table.name}.id" for link in links}
            assert {said["x-references"]} if wanted else "x-references" not in said
            if column in {"amount", "cost", "value", "price", "freight", "duty"} and not wanted:
                assert said.get("x-unit") or said["type"] == "string", f"{name}.{column}"


@pytest.mark.once
def test_no_description_is_of_a_column_that_is_gone() -> None:
    """Tables, columns, forms and units name what there is."""
    said = _read()
    columns = {f"{t.name}.{c.name}" for t in tables.metadata.tables.values() for c in t.columns}
    bare = {column.split(".")[1] for column in columns}
    named = [f"{t}.{c}" for t in said.keys() - {"every", "forms", "units"} for c in said[t] if c]
    lists = [*said["forms"].values(), *said["units"].values()]
    listed = [name for names in lists for name in names]
    assert {name for name in (*named, *listed) if "." in name} - columns == set()
    assert {*said["every"], *(name for name in listed if "." not in name)} - bare == set()


def test_it_is_of_one_moment(lived: Workshop, tmp_path: Path) -> None:
    """What others write while it is written is not in it, nor half of it."""
    calls: list[tuple[int, int, str]] = []

    def look(done: int, total: int, what: str) -> None:
        if not calls:
            candles.save(lived, None, {**candles.blank(lived), "name": "Meanwhile"})
        calls.append((done, total, what))

    first = archive.write(lived, tmp_path / "first.zip", progress=look)
    assert not any(b"Meanwhile" in content for content in archives.entries(first.path).values())
    assert candles.get(lived, "meanwhile").name == "Meanwhile"
    assert [done for done, *_ in calls] == sorted(done for done, *_ in calls)
    assert calls[-1][:2] == (first.rows, first.rows)


@pytest.mark.once
def test_one_that_is_stopped_leaves_nothing(lived: Workshop, tmp_path: Path) -> None:
    """Neither the archive nor the beginning of one."""
    folder = tmp_path / "out"
    folder.mkdir()
    with pytest.raises(Stopped):
        archive.write(lived, folder / "first.zip", stop=lambda: True)
    assert list(folder.iterdir()) == []


@pytest.mark.once
def test_nothing_is_written_over(lived: Workshop, tmp_path: Path) -> None:
    """Neither an archive over a file, nor a workshop over another."""
    first = archives.written(lived, tmp_path / "first.zip")
    with pytest.raises(Refused, match="exists already"):
        archive.write(lived, first)
    with pytest.raises(NotFound, match="no folder"):
        archive.write(lived, tmp_path / "none" / "first.zip")
    with pytest.raises(Refused, match="exists already"):
        archive.read(first, tmp_path / "boathouse.rushlight")
    with pytest.raises(NotFound, match="There is no file"):
        archive.read(tmp_path / "none.zip", tmp_path / "new.rushlight")


def test_a_database_that_is_used_is_not_filled(
    lived: Workshop, server: Cluster, clock: Clock, tmp_path: Path
) -> None:
    """A workshop on a server is never written over."""
    first = archives.written(lived, tmp_path / "first.zip")
    address = server.empty()
    archive.read(first, address, clock=clock).close()
    with pytest.raises(Refused, match="already"):
        archive.read(first, address, clock=clock)
    server.drop(address)


@pytest.mark.once
def test_an_archive_of_an_older_schema_is_brought_up(
    tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As an older file would be: what was in hand has a lot afterwards."""
    old = tmp_path / "old.rushlight"
    monkeypatch.setattr(tables, "SCHEMA", 3)
    create_store(old, clock=clock, make=_at_schema_3, durable=False).close()
    engine = dialect.sqlite_engine(old, patience=1)
    shop = Workshop(Store(engine, str(old), old), clock)
    first = archives.written(shop, tmp_path / "first.zip")
    shop.close()
    monkeypatch.undo()
    assert archives.entries(first)["tables/movement.csv"].count(b"\r\n") == 2
    monkeypatch.setattr(archive_reader, "OLDEST", 3)
    again = archive.read(first, tmp_path / "again.rushlight", clock=clock)
    with again.store.reading() as connection:
        assert dialect.schema_version(connection) == tables.SCHEMA
        balance = connection.execute(select(tables.stock_balance)).mappings().one()
        assert balance["amount"] == 750
    again.close()


@pytest.mark.once
def test_an_archive_of_the_schema_before_packing_is_read(
    tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first schema an archive may have: its movements were packed for nobody."""
    assert archive_parts.OLDEST == 4
    old = tmp_path / "old.rushlight"
    monkeypatch.setattr(tables, "SCHEMA", 4)
    create_store(old, clock=clock, make=_at_schema_4, durable=False).close()
    engine = dialect.sqlite_engine(old, patience=1)
    shop = Workshop(Store(engine, str(old), old), clock)
    first = archives.written(shop, tmp_path / "first.zip")
    shop.close()
    monkeypatch.undo()
    told = archives.entries(first)
    assert b"order_line_id" not in told["tables/movement.csv"]
    assert b"unpacked" not in told["tables/sales_order.csv"]
    again = archive.read(first, tmp_path / "again.rushlight", clock=clock)
    with again.store.reading() as connection:
        assert dialect.schema_version(connection) == tables.SCHEMA
        (row,) = connection.execute(select(tables.movement)).mappings()
        assert (row["amount"], row["order_line_id"]) == (750, None)
    again.close()


def _at_schema_4(engine: Any) -> None:
    _at_schema_3(engine)
    with dialect.writing(engine) as connection, connection.begin():
        upgrade.upgrade(connection, 4)


def _at_schema_3(engine: Any) -> None:
    with dialect.writing(engine) as connection, connection.begin():
        upgrade.upgrade(connection, 3)
        connection.exec_driver_sql(
            "INSERT INTO material (id, slug, role, name, plain, measure, added_at) "
            "VALUES (7, 'soy', 'wax', 'Soy', 'soy', 'mass', '2026-05-01T09:00:00.000Z')"
        )
        connection.exec_driver_sql(
            "INSERT INTO movement (material_id, amount, reason, at) "
            "VALUES (7, 750, 'received', '2026-05-01T09:00:00.000Z')"
        )


def test_a_new_workshop_is_whole(empty: Workshop, home: Home, clock: Clock, tmp_path: Path) -> None:
    """Also of a workshop in which nothing was done yet."""
    first = archives.written(empty, tmp_path / "first.zip")
    place = home.unused("again")
    archive.read(first, place, clock=clock).close()
    again = open_workshop(place, clock=clock)
    second = archives.written(again, tmp_path / "second.zip")
    again.close()
    assert first.read_bytes() == second.read_bytes()

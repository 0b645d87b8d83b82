from __future__ import annotations

import json
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from rushlight.errors import BadInput, RushlightError, WorkshopError
from rushlight.store import dialect
from rushlight.store.tables import SCHEMA
from rushlight.workshop import hazards, materials
from rushlight.workshop.exchange import archive
from rushlight.workshop.opening import create_workshop
from tests.support import archives, jars
from tests.support.postgres import Cluster

Told = Callable[[dict[str, Any]], None]

PDF = b"%PDF-1.7\n" + bytes(range(256))
SUPPLIER, DEED, BUYER = "tables/supplier.csv", "tables/deed.csv", "tables/buyer.csv"
MOVEMENT, MATERIAL, FILES = "tables/movement.csv", "tables/material.csv", "tables/attachment.csv"


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the archive of a small workshop with a lot, jars and a file; nobody changes it."""
    folder = tmp_path_factory.mktemp("good")
    shop = create_workshop(folder / "good.rushlight", durable=False)
    jars.furnish(shop)
    code = jars.stocked(shop, "millpond-soy", 5_000_000, from_whom="Nobody")
    jars.jarred(shop, "slipway", 12, of={code: 1_000_000})
    hazards.attach(shop, "millpond-soy", "sheet.pdf", PDF)
    archives.written(shop, folder / "good.zip")
    shop.close()
    return folder / "good.zip"


def _refused(bad: Path, folder: Path, kind: type[RushlightError] = BadInput) -> str:
    """Read an archive; return why it was refused, having looked that nothing was made."""
    place = folder / "new"
    place.mkdir(exist_ok=True)
    with pytest.raises(kind) as caught:
        archive.read(bad, place / "new.rushlight")
    assert list(place.iterdir()) == []
    return str(caught.value)


def test_the_archive_they_are_made_of_is_good(good: Path, tmp_path: Path) -> None:
    """Made over without a change, it is read: what is refused below is refused for its change."""
    same = archives.made_over(good, tmp_path / "same.zip", {})
    shop = archive.read(same, tmp_path / "new.rushlight")
    assert {line.name for line in materials.listing(shop)} == {"Millpond soy", "Sea lavender"}
    shop.close()


@pytest.mark.parametrize(
    "name",
    [
        *("../../evil.csv", "/etc/evil", "C:\\evil.csv", "..\\evil", "tables/../../evil.csv"),
        *("evil.exe", "tables/evil.txt", "files/sheet.pdf", "tables/", "tables/Supplier.csv"),
        *("files/" + "a" * 64 + ".html", "tables/supplier.csv/x", "manifest.json\0.csv"),
    ],
)
def test_an_entry_with_a_name_that_is_none_of_ours(good: Path, tmp_path: Path, name: str) -> None:
    """Names that lead out, programs, folders, pages: none is ever used as the name of a file."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {})
    with zipfile.ZipFile(bad, "a") as package:
        told = zipfile.ZipInfo("x")
        told.filename = name
        package.writestr(told, b"x")
    said = _refused(bad, tmp_path)
    assert "an entry" in said.lower() or "entries" in said


def test_two_entries_of_one_name(good: Path, tmp_path: Path) -> None:
    """Else one could be checked and the other read."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {})
    with zipfile.ZipFile(bad, "a") as package, pytest.warns(UserWarning, match="Duplicate"):
        package.writestr(SUPPLIER, b"x")
    assert "two entries of one name" in _refused(bad, tmp_path)


def _marked(good: Path, bad: Path, name: str, **marks: Any) -> Path:
    """Write an archive again with marks on the directory's record of one entry."""
    with zipfile.ZipFile(good) as source, zipfile.ZipFile(bad, "w") as package:
        for part in source.infolist():
            package.writestr(part, source.read(part))
        told = package.getinfo(name)
        for mark, value in marks.items():
            setattr(told, mark, value)
    return bad


def test_a_link_is_no_file(good: Path, tmp_path: Path) -> None:
    """A symbolic link could point anywhere."""
    bad = _marked(good, tmp_path / "bad.zip", SUPPLIER, external_attr=0o120777 << 16)
    assert "a link or a device" in _refused(bad, tmp_path)


def test_a_locked_archive(good: Path, tmp_path: Path) -> None:
    """Nobody is asked for a password."""
    bad = _marked(good, tmp_path / "bad.zip", SUPPLIER, flag_bits=0x1)
    assert "password" in _refused(bad, tmp_path)


def test_a_way_of_packing_that_is_none_of_ours(good: Path, tmp_path: Path) -> None:
    """LZMA and bzip2 unpack without the bounds that deflate has."""
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(bad, "w", zipfile.ZIP_LZMA) as package:
        for name, content in archives.entries(good).items():
            package.writestr(name, content)
    assert "packed in a way" in _refused(bad, tmp_path)


def test_a_bomb_by_its_ratio(good: Path, tmp_path: Path) -> None:
    """A million times the same is refused before it is unpacked."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: b"\0" * 20_000_000})
    assert "grows more than 200 times" in _refused(bad, tmp_path)


def test_a_bomb_by_its_size(good: Path, tmp_path: Path) -> None:
    """What an entry says it unpacks to is held against limits before it is unpacked."""
    size, packed = 60_000_000_000, 600_000_000
    bad = _marked(good, tmp_path / "bad.zip", SUPPLIER, file_size=size, compress_size=packed)
    assert "lie on top" in _refused(bad, tmp_path)
    data = bad.read_bytes()
    with bad.open("r+b") as file:  # as long as it says it is, though it takes no room
        file.seek(len(data) + packed)
        file.write(_end(data, moved=packed))
    assert "unpacks to more than" in _refused(bad, tmp_path)


def _end(data: bytes, *, moved: int) -> bytes:
    """Return the directory of a zip again, for its entries to lie further from the end."""
    at = data.rfind(b"PK\x05\x06")
    length, first = struct.unpack_from("<2L", data, at + 12)
    directory = data[first : first + length]
    offset = len(data) + moved
    wide = struct.pack("<4sQ2H2L4Q", b"PK\x06\x06", 44, 45, 45, 0, 0, 0, 0, length, offset)
    locator = struct.pack("<4sLQL", b"PK\x06\x07", 0, offset + length, 1)
    last = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, 65535, 65535, length, 0xFFFFFFFF, 0)
    return directory + wide + locator + last


def test_a_directory_that_fills_the_memory(good: Path, tmp_path: Path) -> None:
    """A zip that says it has a million entries is refused by its last bytes."""
    bad = tmp_path / "bad.zip"
    data = bytearray(good.read_bytes())
    at = data.rfind(b"PK\x05\x06")
    struct.pack_into("<L", data, at + 12, 100_000_000)
    bad.write_bytes(data)
    assert "more entries than any of ours" in _refused(bad, tmp_path)


def test_too_many_entries(good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However small each is."""
    monkeypatch.setattr("rushlight.workshop.exchange.archive_zip.MOST_ENTRIES", 20)
    assert "ours have 20 at most" in _refused(good, tmp_path)


@pytest.mark.parametrize("left", [0, 3, 100, 5_000, -1, -22, -300])
def test_an_archive_that_is_cut_short(good: Path, tmp_path: Path, left: int) -> None:
    """As a copy that was not finished is."""
    bad = tmp_path / "bad.zip"
    bad.write_bytes(good.read_bytes()[:left])
    _refused(bad, tmp_path)


@how(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_an_archive_with_a_bit_turned(good: Path, tmp_path: Path, data: st.DataObject) -> None:
    """It is refused, or says exactly what it said: no byte of a table changes unnoticed."""
    whole = bytearray(good.read_bytes())
    at = data.draw(st.integers(0, len(whole) - 1))
    whole[at] ^= 1 << data.draw(st.integers(0, 7))
    bad = tmp_path / "bad.zip"
    bad.write_bytes(whole)
    try:
        found = archive.check(bad)
    except (BadInput, WorkshopError):
        return
    assert found == archive.check(good)


def test_other_files(tmp_path: Path) -> None:
    """A workshop file, a page, a zip of something else: each said plainly."""
    bad = tmp_path / "bad.zip"
    for content in (b"", b"<html>", b"SQLite format 3\0" + bytes(100)):
        bad.write_bytes(content)
        assert "not an archive" in _refused(bad, tmp_path)
    with zipfile.ZipFile(bad, "w") as package:
        package.writestr("README.txt", "hello")
    assert "not an archive" in _refused(bad, tmp_path)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"{", "not JSON"),
        (b"[" * 200_000 + b"]" * 200_000, "without end"),
        (b'{"a":' * 100 + b"1" + b"}" * 100, "not the manifest"),
        (b"[]", "not the manifest"),
        (b"\xff\xfe", "not JSON"),
        (b"{}", "rushlight_archive"),
        (b'{"rushlight_archive": true, "schema": "4"}', "rushlight_archive"),
    ],
)
def test_a_manifest_that_is_none(good: Path, tmp_path: Path, content: bytes, said: str) -> None:
    """Not JSON, nested without end, of another kind."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {"manifest.json": content})
    assert said in _refused(bad, tmp_path)


def _more(told: dict[str, Any]) -> None:
    told["more"] = 1


def _hash(told: dict[str, Any]) -> None:
    told["entries"][SUPPLIER]["sha256"] = "0" * 64


def _bytes(told: dict[str, Any]) -> None:
    told["entries"][SUPPLIER]["bytes"] += 1


def _rows(told: dict[str, Any]) -> None:
    told["entries"][SUPPLIER]["rows"] += 1


def _less(told: dict[str, Any]) -> None:
    del told["entries"][SUPPLIER]


def _beyond(told: dict[str, Any]) -> None:
    told["entries"]["tables/nothing.csv"] = told["entries"][SUPPLIER]


def _old(told: dict[str, Any]) -> None:
    told["schema"] = 3


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (_more, "more"),
        (_hash, "SHA-256 differs"),
        (_bytes, "SHA-256 differs"),
        (_rows, "not as many as the manifest says"),
        (_less, "does not list"),
        (_beyond, "that is not there"),
        (_old, "the first is 4"),
    ],
)
def test_a_manifest_that_is_wrong(good: Path, tmp_path: Path, told: Told, said: str) -> None:
    """Every number in it is held against what is there."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {}, told=told)
    assert said in _refused(bad, tmp_path)


@pytest.mark.parametrize("key", ["rushlight_archive", "schema"])
def test_an_archive_of_a_newer_program(good: Path, tmp_path: Path, key: str) -> None:
    """It says to update, not that it is damaged."""

    def newer(told: dict[str, Any]) -> None:
        told[key] = 99

    bad = archives.made_over(good, tmp_path / "bad.zip", {}, told=newer)
    said = _refused(bad, tmp_path, WorkshopError)
    assert "newer Rushlight" in said
    assert "99" in said


def test_a_table_too_few_or_too_many(good: Path, tmp_path: Path) -> None:
    """All tables of its schema have to be there, and no others."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: None})
    assert "needs this table" in _refused(bad, tmp_path)
    more: Any = {"tables/stock_balance.csv": b'"stock_lot_id"\r\n'}
    bad = archives.made_over(good, tmp_path / "more.zip", more)
    assert "has no such table" in _refused(bad, tmp_path)


def _put(line: bytes) -> Callable[[bytes], bytes]:
    return lambda content: content + line + b"\r\n"


def _swap(old: bytes, new: bytes) -> Callable[[bytes], bytes]:
    def change(content: bytes) -> bytes:
        assert old in content
        return content.replace(old, new)

    return change


_FIRST = b'1,"Nobody"'


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_swap(b'"id","name"', b'"name","id"'), "heading"),
        (_swap(b'"id"', b"id"), "heading"),
        (_swap(_FIRST, b'1.5,"Nobody"'), "row 1, column id: “1.5” is not a whole number"),
        (_swap(_FIRST, b'"1","Nobody"'), "column id"),
        (_swap(_FIRST, b',"Nobody"'), "column id: “” is not a whole number"),
        (_swap(_FIRST, b'12345678901234567890,"Nobody"'), "column id"),
        (_swap(_FIRST, b"1,Nobody"), "column name: “Nobody” is not a text"),
        (_swap(_FIRST, b"1,"), "column name"),
        (_swap(_FIRST, b'1,"Nobody",3'), "column name"),
        (_swap(_FIRST, b'1,"No"body"'), "column name"),
        (_swap(_FIRST, b'1,"Nobody'), "column name"),
        (_swap(_FIRST, b'1,"N\xff"'), "not in UTF-8"),
        (_swap(b"\r\n", b"\n"), "heading"),
        (_swap(_FIRST + b"\r\n", _FIRST + b"\n"), "column name"),
        (_put(_FIRST), "cannot be kept"),
        (_put(b'9223372036854775808,"x"'), "cannot be kept"),
        (_put(b""), "column id"),
    ],
)
def test_a_cell_of_the_wrong_kind(
    good: Path, tmp_path: Path, change: Callable[[bytes], bytes], said: str
) -> None:
    """The place is said to the row and column."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: change})
    found = _refused(bad, tmp_path)
    assert said in found
    assert SUPPLIER in found


def _deed(inverse: str) -> bytes:
    cell = json.dumps(inverse)[1:-1].replace('\\"', '""')
    return f'99,,"2026-05-12T09:30:00.000Z","","v","","","{cell}","{{}}",,'.encode()


@pytest.mark.parametrize(
    ("inverse", "said"),
    [
        ("[" * 100_000 + "]" * 100_000, "without end"),
        ("[" * 70 + "]" * 70, "more than 64 levels"),
        ('{"a":' * 70 + "1" + "}" * 70, "more than 64 levels"),
        ("[NaN]", "not JSON"),
        ("[1", "not JSON"),
    ],
)
def test_json_in_a_cell(good: Path, tmp_path: Path, inverse: str, said: str) -> None:
    """It is as shallow as ours, so that no page stumbles over it later."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {DEED: _put(_deed(inverse))})
    found = _refused(bad, tmp_path)
    assert said in found
    assert "column inverse" in found


def test_a_row_without_end(good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is given up where no row of ours goes."""
    monkeypatch.setattr("rushlight.workshop.exchange.archive_rows.LONGEST_ROW", 50_000)
    for line in (b'2,"' + b"x" * 60_000, b'2,"' + b"\n" * 60_000):
        bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: _put(line)})
        assert "longer than any of ours" in _refused(bad, tmp_path)


_MOVE = b'99,1,1,%d,0,"used","","","2026-05-12T09:30:00.000Z","2026-05-12",,'


@pytest.mark.parametrize(
    ("name", "change", "said"),
    [
        (MOVEMENT, _put(_MOVE % -99_000_000), "cannot be kept"),  # below nothing
        (MOVEMENT, _put(_MOVE.replace(b"99,1,1", b"99,1,77", 1) % 5), "rows that are not there"),
        (MATERIAL, _swap(b'"mass"', b'"mood"'), "cannot be kept"),
        (DEED, _put(_deed("[]") + b"12345"), "rows that are not there"),
    ],
)
def test_rows_that_do_not_hold_together(
    good: Path, tmp_path: Path, name: str, change: Callable[[bytes], bytes], said: str
) -> None:
    """Links that lead nowhere, lots below nothing, words that are none of ours."""

    def counted(told: dict[str, Any]) -> None:
        told["entries"][name]["rows"] += name != MATERIAL

    bad = archives.made_over(good, tmp_path / "bad.zip", {name: change}, told=counted)
    assert said in _refused(bad, tmp_path)


def test_a_file_that_is_not_what_its_row_says(good: Path, tmp_path: Path) -> None:
    """A page is none of the kinds that are kept, whatever its name; one nobody names is refused."""
    name = next(entry for entry in archives.entries(good) if entry.startswith("files/"))
    bad = archives.made_over(good, tmp_path / "1.zip", {name: b"<script>alert(1)</script>"})
    assert "not what its row says" in _refused(bad, tmp_path)
    bad = archives.made_over(good, tmp_path / "2.zip", {FILES: _swap(b"application", b"text/html")})
    assert "not what its row says" in _refused(bad, tmp_path)
    bad = archives.made_over(good, tmp_path / "3.zip", {name: None})
    assert "not in the archive" in _refused(bad, tmp_path)
    more: Any = {f"files/{'0' * 64}.pdf": PDF}
    bad = archives.made_over(good, tmp_path / "4.zip", more)
    assert "No row names this file" in _refused(bad, tmp_path)
    named: Any = {FILES: _swap(name.encode(), SUPPLIER.encode())}
    bad = archives.made_over(good, tmp_path / "5.zip", named)
    assert "not in the archive" in _refused(bad, tmp_path)


def test_on_a_server_too_it_is_all_or_nothing(good: Path, tmp_path: Path, server: Cluster) -> None:
    """The database is as empty as before, and the good archive goes into it."""
    address = server.empty()
    for i, change in enumerate((_put(_MOVE.replace(b"99,1,1", b"99,1,77", 1) % 5), _put(b"x"))):
        bad = archives.made_over(good, tmp_path / f"{i}.zip", {MOVEMENT: change})
        with pytest.raises(BadInput, match="movement"):
            archive.read(bad, address)
    shop = archive.read(good, address)
    with shop.store.reading() as connection:
        assert dialect.schema_version(connection) == SCHEMA
    shop.close()
    server.drop(address)

from __future__ import annotations

import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from rushlight.errors import BadInput, WorkshopError
from rushlight.workshop import materials
from rushlight.workshop.exchange import archive
from tests.support import archives

Told = Callable[[dict[str, Any]], None]

SUPPLIER, DEED, BUYER = "tables/supplier.csv", "tables/deed.csv", "tables/buyer.csv"


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
    said = archives.refused(bad, tmp_path)
    assert "an entry" in said.lower() or "entries" in said


def test_two_entries_of_one_name(good: Path, tmp_path: Path) -> None:
    """Else one could be checked and the other read."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {})
    with zipfile.ZipFile(bad, "a") as package, pytest.warns(UserWarning, match="Duplicate"):
        package.writestr(SUPPLIER, b"x")
    assert "two entries of one name" in archives.refused(bad, tmp_path)


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
    assert "a link or a device" in archives.refused(bad, tmp_path)


def test_a_locked_archive(good: Path, tmp_path: Path) -> None:
    """Nobody is asked for a password."""
    bad = _marked(good, tmp_path / "bad.zip", SUPPLIER, flag_bits=0x1)
    assert "password" in archives.refused(bad, tmp_path)


def test_a_way_of_packing_that_is_none_of_ours(good: Path, tmp_path: Path) -> None:
    """LZMA and bzip2 unpack without the bounds that deflate has."""
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(bad, "w", zipfile.ZIP_LZMA) as package:
        for name, content in archives.entries(good).items():
            package.writestr(name, content)
    assert "packed in a way" in archives.refused(bad, tmp_path)


def test_a_bomb_by_its_ratio(good: Path, tmp_path: Path) -> None:
    """A million times the same is refused before it is unpacked."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: b"\0" * 20_000_000})
    assert "grows more than 200 times" in archives.refused(bad, tmp_path)


def test_a_bomb_by_its_size(good: Path, tmp_path: Path) -> None:
    """What an entry says it unpacks to is held against limits before it is unpacked."""
    size, packed = 60_000_000_000, 600_000_000
    bad = _marked(good, tmp_path / "bad.zip", SUPPLIER, file_size=size, compress_size=packed)
    assert "lie on top" in archives.refused(bad, tmp_path)
    data = bad.read_bytes()
    with bad.open("r+b") as file:  # as long as it says it is, though it takes no room
        file.seek(len(data) + packed)
        file.write(_end(data, moved=packed))
    assert "unpacks to more than" in archives.refused(bad, tmp_path)


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
    assert "more entries than any of ours" in archives.refused(bad, tmp_path)


def test_too_many_entries(good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """However small each is."""
    monkeypatch.setattr("rushlight.workshop.exchange.archive_zip.MOST_ENTRIES", 20)
    assert "ours have 20 at most" in archives.refused(good, tmp_path)


@pytest.mark.parametrize("left", [0, 3, 100, 5_000, -1, -22, -300])
def test_an_archive_that_is_cut_short(good: Path, tmp_path: Path, left: int) -> None:
    """As a copy that was not finished is."""
    bad = tmp_path / "bad.zip"
    bad.write_bytes(good.read_bytes()[:left])
    archives.refused(bad, tmp_path)


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
        assert "not an archive" in archives.refused(bad, tmp_path)
    with zipfile.ZipFile(bad, "w") as package:
        package.writestr("README.txt", "hello")
    assert "not an archive" in archives.refused(bad, tmp_path)


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
    assert said in archives.refused(bad, tmp_path)


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
    assert said in archives.refused(bad, tmp_path)


@pytest.mark.parametrize("key", ["rushlight_archive", "schema"])
def test_an_archive_of_a_newer_program(good: Path, tmp_path: Path, key: str) -> None:
    """It says to update, not that it is damaged."""

    def newer(told: dict[str, Any]) -> None:
        told[key] = 99

    bad = archives.made_over(good, tmp_path / "bad.zip", {}, told=newer)
    said = archives.refused(bad, tmp_path, WorkshopError)
    assert "newer Rushlight" in said
    assert "99" in said


def test_a_table_too_few_or_too_many(good: Path, tmp_path: Path) -> None:
    """All tables of its schema have to be there, and no others."""
    bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: None})
    assert "needs this table" in archives.refused(bad, tmp_path)
    more: Any = {"tables/stock_balance.csv": b'"stock_lot_id"\r\n'}
    bad = archives.made_over(good, tmp_path / "more.zip", more)
    assert "has no such table" in archives.refused(bad, tmp_path)

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rushlight.errors import BadInput
from rushlight.store import dialect
from rushlight.store.tables import SCHEMA
from rushlight.workshop.exchange import archive
from tests.support import archives
from tests.support.postgres import Cluster

SUPPLIER, DEED, BUYER = "tables/supplier.csv", "tables/deed.csv", "tables/buyer.csv"
MOVEMENT, MATERIAL, FILES = "tables/movement.csv", "tables/material.csv", "tables/attachment.csv"


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
    found = archives.refused(bad, tmp_path)
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
    found = archives.refused(bad, tmp_path)
    assert said in found
    assert "column inverse" in found


def test_a_row_without_end(good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is given up where no row of ours goes."""
    monkeypatch.setattr("rushlight.workshop.exchange.archive_rows.LONGEST_ROW", 50_000)
    for line in (b'2,"' + b"x" * 60_000, b'2,"' + b"\n" * 60_000):
        bad = archives.made_over(good, tmp_path / "bad.zip", {SUPPLIER: _put(line)})
        assert "longer than any of ours" in archives.refused(bad, tmp_path)


_MOVE = b'99,1,1,%d,0,"used","","","2026-05-12T09:30:00.000Z","2026-05-12",,,'


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
    assert said in archives.refused(bad, tmp_path)


def test_a_file_that_is_not_what_its_row_says(good: Path, tmp_path: Path) -> None:
    """A page is none of the kinds that are kept, whatever its name; one nobody names is refused."""
    name = next(entry for entry in archives.entries(good) if entry.startswith("files/"))
    bad = archives.made_over(good, tmp_path / "1.zip", {name: b"<script>alert(1)</script>"})
    assert "not what its row says" in archives.refused(bad, tmp_path)
    bad = archives.made_over(good, tmp_path / "2.zip", {FILES: _swap(b"application", b"text/html")})
    assert "not what its row says" in archives.refused(bad, tmp_path)
    bad = archives.made_over(good, tmp_path / "3.zip", {name: None})
    assert "not in the archive" in archives.refused(bad, tmp_path)
    more: Any = {f"files/{'0' * 64}.pdf": archives.PDF}
    bad = archives.made_over(good, tmp_path / "4.zip", more)
    assert "No row names this file" in archives.refused(bad, tmp_path)
    named: Any = {FILES: _swap(name.encode(), SUPPLIER.encode())}
    bad = archives.made_over(good, tmp_path / "5.zip", named)
    assert "not in the archive" in archives.refused(bad, tmp_path)


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

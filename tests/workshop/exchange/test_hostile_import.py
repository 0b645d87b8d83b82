from __future__ import annotations

import io
import struct
import time
import tracemalloc
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from rushlight.errors import BadInput
from rushlight.workshop.exchange.limits import LARGEST
from rushlight.workshop.exchange.reader import read_table

SHEET = "xl/worksheets/sheet1.xml"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SLOWEST = 10.0
"""Seconds in which anything is refused on a loaded machine; most takes milliseconds."""


def plain() -> bytes:
    """Return a workbook of two columns and a row."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.append(["name", "price"])
    page.append(["Soy", 48.5])
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def with_parts(
    *,
    packed: int = zipfile.ZIP_DEFLATED,
    change: Callable[[str, bytes], bytes] = lambda _name, inside: inside,
) -> bytes:
    """Return the plain workbook with its parts changed."""
    return _rewritten({}, packed, change)


def with_part(name: str, inside: bytes, packed: int = zipfile.ZIP_DEFLATED) -> bytes:
    """Return the plain workbook with one part added or replaced."""
    return _rewritten({name: inside}, packed, lambda _name, was: was)


def _rewritten(more: dict[str, bytes], packed: int, change: Callable[[str, bytes], bytes]) -> bytes:
    held = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(plain())) as was,
        zipfile.ZipFile(held, "w", packed) as now,
    ):
        for name in was.namelist():
            if name not in more:
                now.writestr(name, change(name, was.read(name)))
        for name, inside in more.items():
            now.writestr(name, inside)
    return held.getvalue()


def sheet(rows: str, dimension: str = "A1:B2") -> bytes:
    """Return the XML of a sheet."""
    return (
        f'<worksheet xmlns="{MAIN}"><dimension ref="{dimension}"/>'
        f"<sheetData>{rows}</sheetData></worksheet>"
    ).encode()


def inline(place: str, text: str) -> str:
    """Return the XML of a cell with a text."""
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


def refused(content: bytes) -> str:
    """Return what is said of a file; nothing takes long."""
    begun = time.monotonic()
    with pytest.raises(BadInput) as caught:
        read_table("list.xlsx", content)
    assert time.monotonic() - begun < SLOWEST
    return str(caught.value)


def test_the_plain_workbook_of_these_tests_is_read() -> None:
    """So that what follows is refused for what was done to it."""
    assert read_table("x", plain()).rows[0].cells == ("Soy", "48.5")
    assert read_table("x", with_part("xl/note.txt", b"x")).header == ("name", "price")


def test_a_gigabyte_is_refused_before_it_is_read(tmp_path: Path) -> None:
    """A sparse file of 1 GB: refused by its size, with no more memory than a message takes."""
    path = tmp_path / "large.csv"
    with path.open("wb") as stream:
        stream.truncate(1_000_000_000)
    tracemalloc.start()
    try:
        with pytest.raises(BadInput, match="1,000 MB"):
            read_table("large.csv", path)
        assert tracemalloc.get_traced_memory()[1] < 1_000_000
    finally:
        tracemalloc.stop()


class Endless(io.RawIOBase):
    """A stream that never ends, and counts what is taken of it."""

    taken = 0

    def read(self, size: int = -1, /) -> bytes:
        """Give what is asked; all of it is never asked."""
        assert size > 0
        self.taken += size
        return b"a" * size


def test_a_stream_without_end_is_left_after_the_limit() -> None:
    """One byte more than the limit is taken, and no other."""
    stream = Endless()
    held: BinaryIO = stream  # type: ignore[assignment]  # a raw stream reads all the same
    with pytest.raises(BadInput, match="more than 10 MB"):
        read_table("x", held)
    assert stream.taken == LARGEST + 1


def test_a_zip_bomb_is_refused_before_it_is_unpacked() -> None:
    """1 GB of zeros in 1 MB: by what it says it unpacks to, in no time and no memory."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as bomb:
        bomb.writestr("xl/workbook.xml", b"<x/>")
        with bomb.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as part:
            for _ in range(1000):
                part.write(bytes(1_000_000))
    tracemalloc.start()
    try:
        assert "unpacks to more than" in refused(held.getvalue())
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


def test_a_part_that_grows_too_far_is_refused() -> None:
    """20 MB of spaces, within the limit of size: no sheet grows 1,000 times."""
    assert "grows more than" in refused(with_part(SHEET, b" " * 20_000_000))


@pytest.mark.parametrize("sum_fits", [False, True])
def test_a_part_that_lies_about_its_size_is_taken_at_its_word(*, sum_fits: bool) -> None:
    """It says 100 bytes and packs 10 MB: no more than 100 bytes of it are ever unpacked.

    With a sum made to fit those 100 bytes nothing gives the lie away but the XML, cut short.
    """
    whole = sheet(" " * 10_000_000)
    content = bytearray(with_part(SHEET, whole))
    changes = {struct.pack("<L", len(whole)): struct.pack("<L", 100)}
    if sum_fits:
        changes[struct.pack("<L", zlib.crc32(whole))] = struct.pack("<L", zlib.crc32(whole[:100]))
    for was, now in changes.items():
        assert content.count(was) == 2  # in its own header and in the directory
        content = content.replace(was, now)
    tracemalloc.start()
    try:
        assert "damaged" in refused(bytes(content))
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


@pytest.mark.parametrize(
    "name", ["../../etc/x", "/etc/x", "xl/../../x", "C:/x", "..\\x", "xl\\x", "\\\\host\\x"]
)
def test_a_part_named_to_lead_out_is_refused(name: str) -> None:
    """Though nothing is ever unpacked to a folder."""
    assert "lead out" in refused(with_part(name, b"x"))


def test_macros_are_refused() -> None:
    """By the part that holds them, wherever it is, and by the type the workbook claims."""
    assert "macros" in refused(with_part("xl/vbaProject.bin", b"x"))
    assert "macros" in refused(with_part("other/VBAPROJECT.BIN", b"x"))

    def claimed(name: str, inside: bytes) -> bytes:
        plain_type = b"openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
        macro_type = b"ms-excel.sheet.macroEnabled.main+xml"
        return inside.replace(plain_type, macro_type) if name.startswith("[") else inside

    assert "macros" in refused(with_parts(change=claimed))


def test_a_locked_part_and_an_odd_packing_are_refused() -> None:
    """A password has no place here, and LZMA and bzip2 unpack without a bound."""
    held = bytearray(plain())
    at = held.index(b"PK\x01\x02")
    held[at + 8] |= 1  # the flag of encryption: APPNOTE 6.3.10, 4.4.4
    assert "password" in refused(bytes(held))
    assert "packed in a way" in refused(with_parts(packed=zipfile.ZIP_LZMA))
    assert "packed in a way" in refused(with_parts(packed=zipfile.ZIP_BZIP2))


def test_two_parts_of_one_name_and_too_many_parts_are_refused() -> None:
    """Which of the two was looked over would be a guess."""
    assert "two parts" in refused(with_part(SHEET.upper(), b"x"))
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as many:
        for i in range(1000):
            many.writestr(f"{i}", b"")
    assert "1,000 parts" in refused(held.getvalue())


@pytest.mark.parametrize("part", [SHEET, "xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml"])
def test_a_billion_laughs_are_not_heard_out(part: str) -> None:
    """Entities are refused by the XML reader openpyxl takes, in every part it reads."""
    assert openpyxl.DEFUSEDXML
    lines = ['<!ENTITY l0 "ha">']
    lines += [f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 10)]
    inside = sheet(inline("A1", "&l9;")).decode()
    assert "damaged" in refused(
        with_part(part, f"<!DOCTYPE x [{''.join(lines)}]>{inside}".encode())
    )


def test_nothing_outside_the_workbook_is_looked_at(tmp_path: Path) -> None:
    """An entity that names a file of the machine brings none of it along."""
    secret = tmp_path / "secret"
    secret.write_text("hidden words")
    inside = sheet(f"<row>{inline('A1', '&x;')}</row>").decode()
    said = refused(
        with_part(SHEET, f'<!DOCTYPE x [<!ENTITY x SYSTEM "{secret.as_uri()}">]>{inside}'.encode())
    )
    assert "hidden" not in said


def test_a_sheet_that_claims_a_million_rows_is_read_for_what_it_has() -> None:
    """Its dimension says A1:XFD1048576; there are two rows."""
    rows = f'<row r="1">{inline("A1", "name")}</row><row r="2">{inline("A2", "Soy")}</row>'
    begun = time.monotonic()
    table = read_table("x", with_part(SHEET, sheet(rows, "A1:XFD1048576")))
    assert time.monotonic() - begun < SLOWEST
    assert [row.cells for row in table.rows] == [("Soy",)]


@pytest.mark.parametrize(
    "rows",
    [
        '<row r="1048576"><c r="A1048576"><v>1</v></c></row>',
        '<row r="999999999999"><c r="A999999999999"><v>1</v></c></row>',
        "".join(f'<row r="{i}"/>' for i in range(2, 250_000)),
        "".join(f'<row r="{i}"><c r="ZZZ{i}"/></row>' for i in range(2, 5000)),
        "<row/>" * 3_500_000,
    ],
    ids=["far", "beyond", "formatted", "wide", "endless"],
)
def test_a_sheet_of_emptiness_is_refused(rows: str) -> None:
    """A row at the very end, beyond it, a quarter of a million formatted rows, wide rows."""
    begin = f'<row r="1">{inline("A1", "name")}</row>'
    said = refused(with_part(SHEET, sheet(begin + rows), zipfile.ZIP_STORED))
    assert "empty rows or columns" in said or "MB" in said or "tags" in said


def test_a_cell_of_a_workbook_is_no_book_either() -> None:
    """100,000 letters in one, and a zero byte spelt out."""
    said = refused(with_part(SHEET, sheet(f"<row>{inline('A1', 'ab' * 50_000)}</row>")))
    assert "100,000 characters" in said
    assert "damaged" in refused(with_part(SHEET, sheet(f"<row>{inline('A1', '&#0;')}</row>")))


def test_strings_kept_apart_are_read_and_their_laughs_refused() -> None:
    """Most spreadsheets keep texts in a part of their own, which is read as carefully."""

    def shared(strings: str) -> bytes:
        told = (
            b'<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.'
            b'openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>'
        )
        rows = '<row r="1"><c r="A1" t="s"><v>0</v></c></row>'
        rows += '<row r="2"><c r="A2" t="s"><v>1</v></c></row>'
        with zipfile.ZipFile(io.BytesIO(plain())) as package:
            types = package.read("[Content_Types].xml").replace(b"</Types>", told)
        return _rewritten(
            {
                "[Content_Types].xml": types,
                "xl/sharedStrings.xml": strings.encode(),
                SHEET: sheet(rows),
            },
            zipfile.ZIP_DEFLATED,
            lambda _name, was: was,
        )

    two = f'<sst xmlns="{MAIN}"><si><t>name</t></si><si><r><t>So</t></r><r><t>y</t></r></si></sst>'
    assert read_table("x", shared(two)).rows[0].cells == ("Soy",)
    one = f'<sst xmlns="{MAIN}"><si><t>name</t></si></sst>'
    assert "damaged" in refused(shared(one))  # it names a string that is not there
    bomb = f'<!DOCTYPE x [<!ENTITY a "ha">]>{two.replace("name", "&a;")}'
    assert "damaged" in refused(shared(bomb))


def test_formulas_are_texts_that_nobody_works_out() -> None:
    """Of a formula the kept value is taken, in CSV and in XLSX; text stays text."""
    table = read_table("x", b'name,note\n=1+1,"=HYPERLINK(""http://example.invalid"")"\n')
    assert table.rows[0].cells == ("=1+1", '=HYPERLINK("http://example.invalid")')
    rows = f'<row r="1">{inline("A1", "name")}</row>'
    rows += '<row r="2"><c r="A2"><f>WEBSERVICE("http://example.invalid")</f><v>7</v></c></row>'
    assert read_table("x", with_part(SHEET, sheet(rows))).rows[0].cells == ("7",)


@given(st.binary(max_size=300))
def test_any_bytes_at_all_are_a_table_or_a_problem(content: bytes) -> None:
    """Nothing but BadInput ever leaves the reader."""
    for start in (b"", b"PK\x03\x04", b"\xff\xfe", b"name,price\n"):
        try:
            read_table("x", start + content)
        except BadInput as bad:
            assert bad.problems  # noqa: PT017 - a table is as good an end


@given(st.integers(0, 5000), st.binary(min_size=1, max_size=8))
def test_a_workbook_with_bytes_overwritten_is_a_table_or_a_problem(at: int, junk: bytes) -> None:
    """As a bad disc or a hand would."""
    content = bytearray(PLAIN)
    at %= len(content)
    content[at : at + len(junk)] = junk
    try:
        read_table("x", bytes(content))
    except BadInput as bad:
        assert bad.problems  # noqa: PT017 - as above


PLAIN = plain()

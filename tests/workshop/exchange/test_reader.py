from __future__ import annotations

import io
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from rushlight.errors import BadInput
from rushlight.workshop.exchange.csv_writer import write_csv
from rushlight.workshop.exchange.limits import MOST_COLUMNS, MOST_ROWS
from rushlight.workshop.exchange.reader import Table, read_table
from rushlight.workshop.exchange.table import letter


def read(text: str, encoding: str = "utf-8") -> Table:
    """Return the table of a CSV file."""
    return read_table("list.csv", text.encode(encoding))


def workbook(*rows: list[Any], **formats: str) -> bytes:
    """Return a workbook of one sheet; formats: the number format of a cell, by its name."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Materials"
    for row in rows:
        page.append(row)
    for cell, number_format in formats.items():
        page[cell].number_format = number_format
    return saved(book)


def saved(book: Workbook) -> bytes:
    """Return a workbook as a file."""
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def problems(name: str, content: bytes) -> list[tuple[str, str]]:
    """Return what is said of a file that is refused, and where."""
    with pytest.raises(BadInput) as caught:
        read_table(name, content)
    return [(p.place, p.what) for p in caught.value.problems]


def test_csv_is_read_as_rfc_4180_says() -> None:
    """Fields in quotation marks hold separators, lines and doubled quotation marks (2.5 to 2.7)."""
    table = read('"aaa","b\r\nbb","ccc"\r\nzzz,"y ""y"" y",x\r\n')
    assert table.header == ("aaa", "b bb", "ccc")
    assert [(row.number, row.cells) for row in table.rows] == [(2, ("zzz", 'y "y" y', "x"))]
    assert (table.media, table.encoding, table.delimiter) == ("csv", "utf-8", ",")


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_the_separator_is_the_one_in_the_heading(mark: str) -> None:
    """Comma, semicolon or tab; the others are then letters like any."""
    others = "".join({",", ";", "\t"} - {mark})
    table = read(f"name{mark}note\nSoy{mark}a{others}b\n")
    assert table.delimiter == mark
    assert table.rows[0].cells == ("Soy", f"a{others}b")


def test_a_heading_that_could_be_parted_in_two_ways_is_settled_by_the_rows() -> None:
    """Only one separator gives every row as many fields; where both or none do, she is asked."""
    table = read("name;price, a pack\nSoy;48,50\nDye;3\n")
    assert table.header == ("name", "price, a pack")
    assert problems("x", b"name;a,b\nSoy;1,2\n") == [
        (
            "row 1",
            "The heading has commas and semicolons in it, and either could separate the columns.",
        )
    ]


@pytest.mark.parametrize(
    ("encoding", "said"), [("utf-8", "utf-8"), ("utf-8-sig", "utf-8-sig"), ("utf-16", "utf-16")]
)
def test_encodings_that_tell_themselves_are_read(encoding: str, said: str) -> None:
    """With and without a byte order mark; the mark is no part of the first heading."""
    table = read("naïve,ß\nCrème brûlée,½\n", encoding)
    assert table.header == ("naïve", "ß")
    assert table.rows[0].cells == ("Crème brûlée", "½")
    assert table.encoding == said


@pytest.mark.parametrize(
    "content",
    [
        "name\nCrème\n".encode("latin-1"),
        "name\nCrème\n".encode("cp1252"),
        "name\nКрем\n".encode("cp1251"),
        "name\nCrème\n".encode("utf-16-le"),
        "name\nCrème\n".encode("utf-32"),
        "name\n蝋燭\n".encode("shift-jis"),
        "name\nCrème\n".encode("utf-16")[:-1],
        b"name\nab\0c\n",
    ],
)
def test_any_other_encoding_is_refused_and_never_guessed(content: bytes) -> None:
    """The problem says how to save it."""
    with pytest.raises(BadInput, match="CSV UTF-8"):
        read_table("x.csv", content)


def test_ragged_rows_are_all_named() -> None:
    """A row too long or too short is a slip of a quotation mark; a blank one is passed over."""
    assert problems("x", b"a,b,c\n1,2,3\n1,2\n\n1,2,3,4\n,,\n") == [
        ("row 3", "It has 2 fields, and the heading has 3."),
        ("row 5", "It has 4 fields, and the heading has 3."),
    ]


def test_columns_without_heading_at_the_end_are_left_out() -> None:
    """A spreadsheet often writes them, empty from top to bottom; not where they hold something."""
    assert read("a,b,,\n1,2,,\n").rows[0].cells == ("1", "2")
    assert problems("x", b"a,b,\n1,2,3\n")[0][0] == "row 2"


def test_headings_twice_or_missing_are_named() -> None:
    """Whatever their case and blanks."""
    found = problems("x", b"Price,,  price ,b\n1,2,3,4\n")
    assert found == [
        ("row 1, column B", "This column has no heading."),
        ("row 1, column C", "Columns A and C are both called “price”."),
    ]


@pytest.mark.parametrize("content", [b"", b"\n\r\n  \t", b"\xef\xbb\xbf", b"\0\0", b",,\n,,\n"])
def test_an_empty_file_is_said_to_be_empty(content: bytes) -> None:
    """Blanks, separators and a byte order mark are nothing too."""
    assert "empty" in problems("x.csv", content)[0][1]


def test_a_heading_alone_is_nothing_to_import() -> None:
    """It is said."""
    assert problems("x.csv", b"name,price\n") == [("", "There is a heading and no row under it.")]


@pytest.mark.parametrize(
    "content",
    [b'a,b\n"x,y\n', b'a,b\n"x"y,z\n', b'a,b\n1,"' + b"x" * 140_000 + b'"\n'],
)
def test_a_quotation_mark_out_of_place_is_named(content: bytes) -> None:
    """Never closed, closed too early, or open to the end of the file."""
    assert problems("x", content)[0][0] == "row 2"


def test_a_cell_is_no_book() -> None:
    """100,000 letters are refused where they are."""
    place, what = problems("x", b"a,b\n1," + b"x" * 100_000 + b"\n")[0]
    assert (place, what) == ("row 2, column B", "This cell has 100,000 characters.")


def test_characters_no_keyboard_types_are_named() -> None:
    """A bell, an escape; a line end within a cell is fine."""
    assert problems("x", b"a,b\n\x07,\x1b[2J\n") == [
        ("row 2, column A", "This cell holds a character that no keyboard types."),
        ("row 2, column B", "This cell holds a character that no keyboard types."),
    ]


def test_too_many_rows_or_columns_are_refused() -> None:
    """With the remedy to import in parts."""
    assert problems("x", b"a\n" + b"1\n" * (MOST_ROWS + 1))[0][0] == f"row {MOST_ROWS + 2}"
    wide = ",".join(f"c{i}" for i in range(MOST_COLUMNS + 1))
    assert "column CW" in problems("x", wide.encode())[0][1]
    assert len(read("a\n" + "1\n" * MOST_ROWS).rows) == MOST_ROWS


def test_columns_are_lettered_as_in_a_spreadsheet() -> None:
    """A, Z, AA, ZZ, AAA; the last column of a sheet is XFD, the 16,384th."""
    assert [letter(i) for i in (0, 25, 26, 701, 702, 16_383)] == [
        "A",
        "Z",
        "AA",
        "ZZ",
        "AAA",
        "XFD",
    ]


def test_the_first_bytes_say_what_it_is_and_the_name_does_not() -> None:
    """A CSV called .xlsx and a workbook called .csv are read as what they are."""
    assert read_table("list.xlsx", b"a,b\n1,2\n").media == "csv"
    assert read_table("list.csv", workbook(["a"], [1])).media == "xlsx"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"%PDF-1.7\n", "a PDF"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "old kind"),
        (b"<html><table><tr><td>a</td></tr></table>", "web page"),
        (b"SQLite format 3\0" + bytes(100), "a database"),
    ],
)
def test_what_is_no_table_is_called_by_its_name(content: bytes, said: str) -> None:
    """A web page saved under .xls, an old workbook, a PDF."""
    assert said in problems("list.csv", content)[0][1]


def test_cells_of_a_workbook_come_as_plain_texts() -> None:
    """Days in ISO 8601, numbers as the shortest decimal, percentages with their sign.

    0.1 + 0.2 is 0.30000000000000004 in binary; a spreadsheet keeps and shows 15 digits.
    """
    table = read_table(
        "x",
        workbook(
            list("abcdefghij"),
            [
                *(date(2026, 5, 17), datetime(2026, 5, 17, 8, 30), time(8, 30)),  # noqa: DTZ001
                *(5, 5.0, 0.1 + 0.2, 1e-7, -1234567.25, True, 0.08),
            ],
            J2="0%",
        ),
    )
    assert table.rows[0].cells == (
        *("2026-05-17", "2026-05-17T08:30:00", "08:30:00", "5", "5"),
        *("0.3", "0.0000001", "-1234567.25", "yes", "8 %"),
    )
    assert table.rows[0].exact == {3, 4, 5, 6, 7, 8, 9}
    assert (table.sheet, table.others) == ("Materials", ())


def test_rows_and_cells_a_workbook_leaves_out_are_empty() -> None:
    """Rows keep their number; what stands beside the heading is a problem."""
    table = read_table("x", workbook([], ["a", "b", "c"], [], [None, "x"], ["y"]))
    assert [(row.number, row.cells) for row in table.rows] == [
        (4, ("", "x", "")),
        (5, ("y", "", "")),
    ]
    assert problems("x", workbook(["a"], ["x", None, "z"])) == [
        ("row 2", "It has 3 fields, and the heading has 1.")
    ]


def test_a_sheet_is_chosen_by_name_or_is_the_first_that_is_visible() -> None:
    """The others are named, so that nothing is passed over unseen."""
    book = Workbook()
    hidden, first, second = book.active, book.create_sheet("One"), book.create_sheet("Two")
    assert hidden is not None
    hidden.sheet_state = "hidden"
    for page in (hidden, first, second):
        page.append(["name"])
        page.append([page.title])
    content = saved(book)
    table = read_table("x", content)
    assert (table.sheet, table.others, table.rows[0].cells) == ("One", ("Two",), ("One",))
    assert read_table("x", content, sheet="Two").rows[0].cells == ("Two",)
    with pytest.raises(BadInput, match="There are One, Two"):
        read_table("x", content, sheet="Sheet")


def test_a_formula_without_a_value_and_a_cell_of_an_error_are_named() -> None:
    """A program that works nothing out keeps no value; an empty cell would be a wrong one."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.append(["name", "price"])
    page.append(["Soy", "=1+1"])
    page.append(["Dye", "#N/A"])
    page["B3"].data_type = "e"
    page["C9"].value = timedelta(hours=1)
    found = problems("x", saved(book))
    assert found[:2] == [
        ("row 2, column B", "This formula has no value kept with it."),
        ("row 3, column B", "This cell shows #N/A."),
    ]


def test_a_file_is_read_from_its_path_or_a_stream(tmp_path: Path) -> None:
    """The same table comes of it."""
    content = write_csv(("a", "b"), [("1", "2")], plain=True)
    path = tmp_path / "list.csv"
    path.write_bytes(content)
    assert read_table("x", path) == read_table("x", content) == read_table("x", io.BytesIO(content))


def test_a_path_that_is_no_file_is_explained(tmp_path: Path) -> None:
    """A folder, and one that is not there."""
    with pytest.raises(BadInput, match="is not a file"):
        read_table("x", tmp_path)
    with pytest.raises(BadInput, match="cannot be read"):
        read_table("x", tmp_path / "none.csv")

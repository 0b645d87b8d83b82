from __future__ import annotations

import io
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st
from sqlalchemy import insert, select

from rushlight.store import tables
from rushlight.store.archive import Held
from rushlight.workshop import Workshop
from rushlight.workshop.exchange import archive
from rushlight.workshop.exchange.archive_rows import read_rows
from rushlight.workshop.exchange.csv_writer import csv_lines
from rushlight.workshop.opening import create_workshop
from tests.support import archives

Clock = Callable[[], Any]
# every character a text can hold: surrogates are none, and no database of ours keeps a zero byte
TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=60)
AWKWARD = ('"', '""', "a\r\nb", "\n", ",", "\r", "", "NULL", "=1+1", " ", "\u2028", "\ufeff", "’🕯")


@pytest.mark.once
def test_null_and_the_empty_text_are_told_apart(empty: Workshop, tmp_path: Path) -> None:
    """Nothing is null, a pair of quotation marks the empty text; and so they come back."""
    with empty.store.unit_of_work() as connection:
        rows = [
            {"verb": "v", "said": "", "inverse": "[]", "result": "{}", "at": "", "key": key}
            for key in (None, "")
        ]
        connection.execute(insert(tables.deed), rows)
    first = archives.written(empty, tmp_path / "first.zip")
    lines = archives.entries(first)["tables/deed.csv"].split(b"\r\n")
    assert [line.split(b",")[1] for line in lines[1:3]] == [b"", b'""']
    again = archive.read(first, tmp_path / "again.rushlight")
    with again.store.reading() as connection:
        keys = connection.execute(select(tables.deed.c.key).order_by(tables.deed.c.id)).scalars()
        assert list(keys) == [None, ""]
    again.close()


_COLUMNS = (
    Held("number", "whole", nullable=False),
    Held("text", "text", nullable=False),
    Held("maybe", "whole", nullable=True),
    Held("or_not", "text", nullable=True),
)
_WHOLE = st.integers(-(2**63), 2**63 - 1)


@given(st.lists(st.tuples(_WHOLE, TEXT, st.none() | _WHOLE, st.none() | TEXT)))
def test_any_row_is_read_back_as_it_was(rows: list[tuple[Any, ...]]) -> None:
    """Quotation marks, line ends, every letter there is, nulls."""
    lines = csv_lines([held.name for held in _COLUMNS], rows, plain=True)
    source: Any = io.BytesIO(b"".join(lines))
    assert [tuple(row) for row in read_rows(source, _COLUMNS, "t.csv")] == rows


@pytest.mark.once
@how(max_examples=4, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.one_of(TEXT, st.sampled_from(AWKWARD)), min_size=20, max_size=60))
def test_a_workshop_of_any_texts_comes_back_identical(
    tmp_path: Path, clock: Clock, texts: list[str]
) -> None:
    """What was typed is kept as typed, whatever it was."""
    shop = create_workshop(tmp_path / "any.rushlight", clock=clock, durable=False)
    with shop.store.unit_of_work() as connection:
        rows = [{"name": f"{i} {text}", "value": text} for i, text in enumerate(texts)]
        connection.execute(insert(tables.setting), rows)
        notes = [
            {"name": i, "plain": i, "note": text, "at": text, "contact": text, "retired_at": gone}
            for i, text in zip(map(str, range(99)), texts, strict=False)
            for gone in [text if int(i) % 2 else None]
        ]
        connection.execute(insert(tables.buyer), notes)
    first = archives.written(shop, tmp_path / "first.zip")
    again = archive.read(first, tmp_path / "again.rushlight", clock=clock)
    second = archives.written(again, tmp_path / "second.zip")
    shop.close()
    again.close()
    same = first.read_bytes() == second.read_bytes()
    for path in tmp_path.iterdir():
        path.unlink()
    assert same


@pytest.mark.once
def test_text_that_packs_as_well_as_a_bomb_is_written_unpacked(
    empty: Workshop, tmp_path: Path
) -> None:
    """What the maker typed is never refused as hostile when it comes back."""
    with empty.store.unit_of_work() as connection:
        rows = [{"name": str(i), "plain": str(i), "note": "a" * 5000, "at": ""} for i in range(400)]
        connection.execute(insert(tables.buyer), rows)
    first = archives.written(empty, tmp_path / "first.zip")
    with zipfile.ZipFile(first) as package:
        part = package.getinfo("tables/buyer.csv")
        assert part.file_size == part.compress_size > 2_000_000
    archive.read(first, tmp_path / "again.rushlight").close()


@pytest.mark.once
def test_no_table_is_held_whole(empty: Workshop, tmp_path: Path) -> None:
    """Writing 12 MB takes a few, and so does reading them back."""
    with empty.store.unit_of_work() as connection:
        for first in range(0, 8_000, 1000):
            rows = [
                {"name": str(i), "plain": str(i), "note": f"{i:1500d}", "at": ""}
                for i in range(first, first + 1000)
            ]
            connection.execute(insert(tables.buyer), rows)
    archive.write(empty, tmp_path / "warm.zip")
    tracemalloc.start()
    first_zip = archives.written(empty, tmp_path / "first.zip")
    _, writing = tracemalloc.get_traced_memory()
    tracemalloc.reset_peak()
    archive.read(first_zip, tmp_path / "again.rushlight").close()
    _, reading = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert (writing / 1e6, reading / 1e6) < (7, 7)

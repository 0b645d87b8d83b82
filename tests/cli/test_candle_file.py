"""Reading a candle file: whatever is in it, exit 2 with a remedy, and never a fault of ours."""

from __future__ import annotations

import copy
import errno
import os
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rushlight.cli import candle_file
from rushlight.cli.new import example

Run = Callable[..., Any]
ONCE = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


def one_line(run: Run, *words: object) -> str:
    """Return the only line on stderr of a command that was given something bad."""
    ran = run(*words)
    assert (ran.status, ran.out) == (2, "")
    lines = ran.err.splitlines()
    assert len(lines) == 1
    return str(lines[0])


def test_a_file_that_is_not_there_is_named(run: Run, tmp_path: Path) -> None:
    """With what to do: check the name, or make one."""
    said = one_line(run, "sheet", tmp_path / "none.toml")
    assert "none.toml: There is no such file." in said
    assert "rushlight new" in said


def test_a_folder_is_not_a_candle_file(run: Run, tmp_path: Path) -> None:
    """It is called what it is."""
    assert "This is a folder" in one_line(run, "sheet", tmp_path)


def test_text_in_another_encoding_is_refused_with_its_line(run: Run, tmp_path: Path) -> None:
    """Latin-1, as old editors write it."""
    path = tmp_path / "old.toml"
    path.write_bytes('name = "x"\nnote = "Blåbär"\n'.encode("latin-1"))
    assert "Line 2 is not text in UTF-8." in one_line(run, "sheet", path)


def test_a_byte_order_mark_is_no_trouble(run: Run, candle: Path) -> None:
    """Some editors put one before the text."""
    candle.write_bytes(b"\xef\xbb\xbf" + candle.read_bytes())
    assert run("sheet", candle).status == 0


def test_a_huge_file_is_refused_without_reading_it(run: Run, tmp_path: Path) -> None:
    """50 MB; it takes no time, for only the first megabyte is looked at."""
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    assert "larger than 1,000 kB" in one_line(run, "sheet", path)


def test_a_file_that_may_not_be_read_is_refused(
    run: Run, candle: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The machine's own reason is given."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(Path, "open", refuse)
    assert "cannot be read (Permission denied)" in one_line(run, "sheet", candle)


@pytest.mark.parametrize(
    "text",
    [
        "name = ",
        "[vessel\n",
        "x = " + "[" * 5000 + "]" * 5000,
        "x = " + "9" * 5000,
        "\0",
    ],
)
def test_what_is_not_toml_is_said_to_be_none(run: Run, tmp_path: Path, text: str) -> None:
    """Deep nesting and endless numbers included."""
    path = tmp_path / "bad.toml"
    path.write_text(text, "utf-8")
    said = one_line(run, "sheet", path)
    assert "bad.toml: " in said
    assert "rushlight new" in said


def test_every_problem_is_said_at_once_each_at_its_place(run: Run, candle: Path) -> None:
    """One line each: where, what, what to do."""
    text = candle.read_text("utf-8")
    text = text.replace('"8 fl oz"', '"8 oz"').replace('load = "8 %"', 'load = "900 %"')
    text = text.replace('jars = "12"', 'jars = "-1"')
    candle.write_text(text, "utf-8")
    ran = run("sheet", candle)
    places = [line.split(":")[0] for line in ran.err.splitlines()]
    assert ran.status == 2
    assert places == ["vessel.brim", "fragrance.load", "batch.jars"]
    shaped = run("sheet", candle, "--json").problems
    assert [problem["place"] for problem in shaped] == places
    assert all(problem["what"] and problem["remedy"] for problem in shaped)


@ONCE
@given(content=st.one_of(st.binary(max_size=300), st.text(max_size=300).map(str.encode)))
def test_any_content_at_all_is_read_or_refused(run: Run, tmp_path: Path, content: bytes) -> None:
    """Never a fault of ours."""
    path = tmp_path / "any.toml"
    path.write_bytes(content)
    ran = run("sheet", path, "--json")
    assert ran.status == 2
    assert ran.problems


DOCUMENT = tomllib.loads(example())


def places(tree: Any, before: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the path of every value and table of a document."""
    found: list[tuple[Any, ...]] = []
    pairs = tree.items() if isinstance(tree, dict) else enumerate(tree)
    for key, value in pairs:
        found.append((*before, key))
        if isinstance(value, dict | list):
            found += places(value, (*before, key))
    return found


hostile = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        ["-1 g", "1e400 g", "nan", "inf mm", "900 %", "4 m", "0", "8 oz", "\u202e8 ml", "٣ g", "∞"]
    ),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.lists(st.text(max_size=5), max_size=3),
    st.dictionaries(st.text(max_size=5), st.text(max_size=5), max_size=3),
    st.datetimes(),
)


@ONCE
@given(
    changes=st.lists(st.tuples(st.sampled_from(places(DOCUMENT)), hostile), min_size=1, max_size=3),
    command=st.sampled_from(["sheet", "price", "pot"]),
)
def test_any_value_in_any_field_is_used_or_refused(
    run: Run, tmp_path: Path, changes: list[tuple[tuple[Any, ...], Any]], command: str
) -> None:
    """Every field of the example, in turn, with what no one should type; the PDF as well."""
    document = copy.deepcopy(DOCUMENT)
    for path, value in changes:
        at: Any = document
        try:
            for key in path[:-1]:
                at = at[key]
            at[path[-1]] = value
        except (KeyError, TypeError, IndexError):
            continue  # an earlier change took the place away
    more: dict[str, list[object]] = {
        "sheet": ["--pdf", tmp_path / "out.pdf", "--date", "2026-05-02"],
        "price": [],
        "pot": ["--reading", "14:05=81C"],
    }
    extra = more[command]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(candle_file, "read", lambda _: document)
        ran = run(command, "any.toml", *extra, "--json")
        assert ran.status in (0, 2), (command, ran.out)
        if ran.status == 2:
            assert ran.problems
        assert run(command, "any.toml", *extra).status == ran.status

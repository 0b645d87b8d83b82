"""A document as a candle file, and back."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.document import read
from rushlight.candle.document_vessel import KEYS as VESSEL_KEYS
from rushlight.candle.kinds import built_in
from rushlight.errors import BadInput
from rushlight.workshop.candle_file import LARGEST, parse, write
from tests.candle.support import slipway, typed

words = st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Cf", "Co", "Cn", "Zl", "Zp"]), max_size=40
).map(str.strip)
texts = words.filter(bool)
tables = st.dictionaries(st.sampled_from(VESSEL_KEYS), texts, min_size=1)


def test_the_slipway_comes_back_as_it_was() -> None:
    """The document and the candle read from it."""
    again = parse(write(typed()))
    assert again == typed()
    assert read(again, built_in()) == slipway()


@given(
    texts,
    st.fixed_dictionaries(
        {},
        optional={
            "vessel": tables,
            "dyes": st.lists(tables, min_size=1, max_size=3),
            "note": texts,
        },
    ),
)
def test_text_is_kept_as_typed(name: str, doc: dict[str, Any]) -> None:
    """Whatever the letters, quotes and backslashes; the version comes first."""
    text = write({"name": name, **doc})
    assert text.startswith("rushlight = 1\n")
    assert parse(text) == {"rushlight": 1, "name": name, **doc}


def test_what_was_left_empty_is_left_out() -> None:
    """Empty fields, tables and lists."""
    doc = {"name": "x", "note": "", "vessel": {"use": "tin", "brim": ""}, "dyes": []}
    assert parse(write(doc)) == {"rushlight": 1, "name": "x", "vessel": {"use": "tin"}}


def test_a_note_of_several_lines_is_kept() -> None:
    """Line ends and tabs are part of a note."""
    assert parse(write({"note": "one\ntwo\tthree"}))["note"] == "one\ntwo\tthree"


@pytest.mark.parametrize(
    "doc",
    [
        {"vessel": {"brim": object()}},
        {"name": "\ud800"},
        {"dyes": [{"a": {"b": {"c": {"d": {"e": {"f": {"g": {}, "h": "1"}}}}}}}]},
    ],
)
def test_what_cannot_be_kept_is_refused(doc: dict[str, Any]) -> None:
    """An object, a broken letter, a nest too deep."""
    with pytest.raises(BadInput):
        write(doc)


@pytest.mark.parametrize(
    "text", ["not a file", "a = ", "[" * 50_000, "a = " + "9" * 5000, "x" * (LARGEST + 1)]
)
def test_what_is_no_candle_file_is_refused(text: str) -> None:
    """With what a candle file looks like, or what is wrong."""
    with pytest.raises(BadInput) as caught:
        parse(text)
    assert caught.value.problems[0].remedy


@given(st.text(max_size=200))
def test_any_text_is_a_document_or_bad_input(text: str) -> None:
    """Nothing else is raised."""
    answer: object
    try:
        answer = parse(text)
    except BadInput as bad:
        answer = {"told": bad.problems[0].what}
    assert isinstance(answer, dict)

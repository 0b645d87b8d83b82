"""A document survives its form."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput, Problem
from rushlight.web.forms import MOST_FIELDS, flatten, nest

text = st.text(min_size=1, max_size=20).map(str.strip).filter(bool)
row = st.dictionaries(st.sampled_from(["use", "parts", "amount"]), text, min_size=1)
documents = st.fixed_dictionaries(
    {},
    optional={
        "name": text,
        "note": text,
        "vessel": st.dictionaries(st.sampled_from(["use", "brim", "wall"]), text, min_size=1),
        "fill": st.dictionaries(st.sampled_from(["headspace", "state"]), text, min_size=1),
        "fragrance": st.fixed_dictionaries(
            {"load": text}, optional={"oils": st.lists(row, min_size=1, max_size=4)}
        ),
        "dyes": st.lists(row, min_size=1, max_size=4),
        "finishes": st.lists(row, min_size=1, max_size=4),
    },
)


@given(documents)
def test_a_document_comes_back_from_its_form_as_it_was(document: dict[str, Any]) -> None:
    """Nothing typed is lost or changed."""
    assert nest(flatten(document).items()).document == document


def test_a_measured_profile_is_typed_as_lines() -> None:
    """One line for each height."""
    document = {"vessel": {"profile": [["0 mm", "70 mm"], ["85 mm", "74 mm"]]}}
    flat = flatten(document)
    assert flat["vessel.profile"] == "0 mm, 70 mm\n85 mm, 74 mm"
    assert nest(flat.items()).document == document


def test_a_problem_is_said_of_the_row_it_was_typed_in() -> None:
    """Empty rows above it are dropped from the document, not from the form."""
    typed = nest([("dyes.0.use", ""), ("dyes.2.use", "blue"), ("dyes.2.amount", "x")])
    assert typed.document == {"dyes": [{"use": "blue", "amount": "x"}]}
    assert typed.place("dyes.0.amount") == "dyes.2.amount"
    (said,) = typed.problems([Problem("dyes.0.amount", "What.", "Do.")])
    assert said.place == "dyes.2.amount"


@given(st.lists(st.tuples(st.text(max_size=30), st.text(max_size=30)), max_size=30))
def test_whatever_is_posted_gives_a_document(fields: list[tuple[str, str]]) -> None:
    """Strange names are left out; known tables stay tables."""
    document = nest(fields).document
    assert set(document) <= {
        "name", "note", "vessel", "fill", "wax", "fragrance", "wick", "batch",
        "dyes", "additives", "finishes",
    }  # fmt: skip


def test_a_form_with_too_many_fields_is_refused() -> None:
    """A million rows are not a candle."""
    with pytest.raises(BadInput, match="too many fields"):
        nest((f"dyes.{i}.use", "x") for i in range(MOST_FIELDS + 1))

"""Hostile documents: every answer is a candle or BadInput, nothing else."""

import sys
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.batch import scale
from rushlight.candle.document import BATCH_KEYS, KEYS, read, read_batch
from rushlight.candle.document_mix import ADDITIVE_KEYS, DYE_KEYS, OIL_KEYS
from rushlight.candle.document_outside import FINISH_KEYS, WICK_KEYS
from rushlight.candle.document_vessel import FILL_KEYS
from rushlight.candle.document_vessel import KEYS as VESSEL_KEYS
from rushlight.candle.document_wax import KEYS as WAX_KEYS
from rushlight.candle.kinds import ROLES, built_in
from rushlight.candle.limits import LIMITS
from rushlight.candle.provenance import provenance
from rushlight.candle.weigh import weigh
from rushlight.errors import BadInput
from tests.candle.support import typed

NAMES = [name for role in ROLES for name in built_in().names(role)]
PLAUSIBLE = [limit.example for limit in LIMITS.values()] + NAMES
PLAUSIBLE += ["", "yes", "of wax", "of total", "when set", "155-170 F", "0 g", "-1 mm"]
HOSTILE: list[Any] = [
    None,
    True,
    float("nan"),
    float("inf"),
    -0.0,
    1e308,
    10**30,
    10**5000,
    b"bytes",
    "9" * 400,
    "1e999 g",
    "\x00",
    "\u202e8 oz",
    "\ud800",
    "<script>alert(1)</script>",
    "'; DROP TABLE candle; --",
    "٣ mm",
    "½ in",
    [],
    {},
    [[[[]]]],
    {"value": {"value": []}},
    {"value": "8 %", "origin": ["x"], "source": {"y": 1}},
    object(),
]
values = st.one_of(
    st.sampled_from(PLAUSIBLE),
    st.sampled_from(HOSTILE),
    st.text(max_size=30),
    st.floats(),
    st.integers(),
    st.recursive(
        st.text(max_size=5),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
        max_leaves=6,
    ),
)


def tables(keys: tuple[str, ...]) -> st.SearchStrategy[Any]:
    """Draw a table of some known keys, perhaps a strange one, or no table at all."""
    known = st.dictionaries(st.sampled_from(keys) | st.text(max_size=8), values, max_size=8)
    return st.one_of(known, values)


def lists(keys: tuple[str, ...]) -> st.SearchStrategy[Any]:
    """Draw a list of such tables, or no list at all."""
    return st.one_of(st.lists(tables(keys), max_size=3), values)


fragrances = st.fixed_dictionaries(
    {}, optional={"load": values, "basis": values, "oils": lists(OIL_KEYS), "x": values}
)
documents = st.fixed_dictionaries(
    {},
    optional={
        "rushlight": values,
        "name": values,
        "note": values,
        "vessel": tables(VESSEL_KEYS),
        "fill": tables(FILL_KEYS),
        "wax": tables(WAX_KEYS),
        "fragrance": fragrances | values,
        "dyes": lists(DYE_KEYS),
        "additives": lists(ADDITIVE_KEYS),
        "wick": tables(WICK_KEYS),
        "finishes": lists(FINISH_KEYS),
        "batch": tables(BATCH_KEYS),
        "price": values,
        "surprise": values,
    },
)


def told(bad: BadInput) -> None:
    """Check that every problem has a place, what and remedy that can be printed."""
    assert bad.problems
    for problem in bad.problems:
        assert problem.place
        assert problem.what
        assert problem.remedy
        assert len(str(problem)) < 2000
        str(problem).encode("utf-8")


def whole(doc: Any) -> None:
    """Read, weigh and scale; only BadInput may come of it."""
    try:
        scale(weigh(read(doc, built_in())), read_batch(doc))
    except BadInput as bad:
        told(bad)


@given(documents)
def test_a_document_is_read_or_told_what_is_wrong(doc: dict[str, Any]) -> None:
    """Whatever stands where, the answer is a sheet or BadInput."""
    whole(doc)


@given(st.sampled_from([key for key in KEYS if key != "rushlight"]), values, values)
def test_one_table_spoilt_in_a_good_document(key: str, first: Any, second: Any) -> None:
    """A good document with one table replaced, and one of its fields."""
    whole(typed(**{key: first}))
    table = typed().get(key)
    if isinstance(table, dict):
        for field in table:
            whole(typed(**{key: {**table, field: second}}))


@given(documents)
def test_provenance_never_stumbles(doc: dict[str, Any]) -> None:
    """It lists what it can."""
    for known in provenance(doc, built_in()):
        assert known.place


@pytest.mark.parametrize("doc", [None, 1, "text", [], [{}], b"x", float("nan")])
def test_what_is_no_document_is_refused(doc: Any) -> None:
    """Not a table of fields."""
    for reader in (lambda: read(doc, built_in()), lambda: read_batch(doc)):
        with pytest.raises(BadInput):
            reader()


@pytest.mark.parametrize("key", ["vessel", "wax", "fragrance", "dyes", "name", "batch"])
def test_deep_nesting_does_not_exhaust_the_stack(key: str) -> None:
    """Ten times deeper than the interpreter's own limit."""
    deep_list: Any = []
    deep_table: Any = {}
    for _ in range(10 * sys.getrecursionlimit()):
        deep_list, deep_table = [deep_list], {"value": deep_table, "use": deep_table}
    for deep in (deep_list, deep_table, {"use": deep_list, "brim": deep_table}, [deep_table]):
        whole(typed(**{key: deep}))


def test_huge_texts_and_lists_are_cut_short() -> None:
    """A megabyte of text and a hundred thousand rows are problems of one line."""
    whole(typed(name="x" * 10**6, note="y" * 10**6))
    whole(typed(vessel={"brim": "8" * 10**6, "use": "z" * 10**6, "k" * 10**6: "1"}))
    whole(typed(dyes=[{"use": "dye block", "blocks": "1"}] * 10**5))
    whole(typed(vessel={"profile": [["0 mm", "70 mm"]] * 10**5}))
    whole(typed(vessel={f"key {i}": "1" for i in range(3000)}))

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as how
from hypothesis import strategies as st

from rushlight.errors import BadInput, NotFound, RushlightError
from rushlight.workshop import Workshop, candles, materials, pours, undo

PLAIN: dict[str, Any] = {
    "name": "Oar",
    "vessel": {"use": "straight tumbler"},
    "fill": {"headspace": "12 mm"},
    "wax": {"use": "soy container"},
    "wick": {"use": "cotton flat"},
}
TEXT = st.text(max_size=12)
NESTED = st.recursive(
    st.one_of(TEXT, st.none(), st.booleans(), st.integers(), st.floats()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.one_of(TEXT, st.sampled_from(["use", "value"])), inner, max_size=3),
    ),
    max_leaves=8,
)


def _deep(levels: int) -> Any:
    value: Any = "x"
    for _ in range(levels):
        value = {"use": value}
    return value


@pytest.mark.parametrize(
    "wrong",
    [
        {"price": {"retail": float("nan")}},
        {"price": {"when": date(2026, 5, 1)}},
        {"price": {"note": "\ud800"}},
        {"price": {"note": "x" * 300_000}},
        {"price": _deep(5_000)},
        {"wax": _deep(5_000)},
        {"name": ["Oar"]},
        {"name": "Oar\x00"},
    ],
)
def test_what_no_file_can_hold_is_explained(empty: Workshop, wrong: dict[str, Any]) -> None:
    """Not a number, a date, half a character, too long, too deep: a problem, and nothing kept."""
    with pytest.raises(BadInput):
        candles.save(empty, None, {**PLAIN, **wrong})
    assert candles.listing(empty) == ()


@pytest.mark.parametrize("number", [-1, 0, 2**63, 10**30])
def test_a_number_of_nothing_finds_nothing(empty: Workshop, number: int) -> None:
    """However large it is."""
    candles.save(empty, None, PLAIN)
    for look in (
        lambda: pours.get(empty, number),
        lambda: undo.get(empty, number),
        lambda: candles.get(empty, "oar", number),
    ):
        with pytest.raises(NotFound):
            look()


@pytest.mark.parametrize("slug", ["", "../../etc", "\ud800", "x" * 10_000, "'; DROP TABLE deed"])
def test_a_name_of_nothing_finds_nothing(empty: Workshop, slug: str) -> None:
    """Whatever stands in the address."""
    for look in (candles.get, materials.get):
        with pytest.raises(NotFound):
            look(empty, slug)


@pytest.mark.once
@how(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.sampled_from([*PLAIN, "fragrance", "dyes", "batch"]), NESTED, max_size=4))
def test_any_document_is_computed_or_explained(empty: Workshop, document: dict[str, Any]) -> None:
    """A sheet, or problems: never another error."""
    with_plain = {**PLAIN, **document}
    try:
        sheets = candles.sheet(empty, with_plain)
    except BadInput as bad:
        explained = all(problem.what and problem.remedy for problem in bad.problems)
    else:
        explained = sheets.jar.fill_mass > 0
    assert explained


@how(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(
        st.sampled_from(["role", "name", "note", "kind", "measure", "low_at", "facts", "other"]),
        st.one_of(NESTED, st.sampled_from(materials.ROLES)),
    )
)
def test_any_material_is_kept_or_explained(empty: Workshop, typed: dict[str, Any]) -> None:
    """Kept, it can be read again; otherwise its problems are said."""
    try:
        view = materials.save(empty, None, typed)
    except RushlightError as error:
        good = isinstance(error, BadInput) and bool(error.problems)
    else:
        good = materials.get(empty, view.slug) == view
    assert good

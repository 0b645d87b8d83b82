"""What must hold for any mixture."""

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.hazard.classes import hazard_class, known
from rushlight.hazard.classify import Classification, classify
from rushlight.hazard.component import Component, Route
from rushlight.hazard.law import Law
from rushlight.hazard.margin import scale
from rushlight.hazard.mixture import Part
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.recipe import Recipe
from rushlight.quantity.si import Fraction1

LAWS = st.sampled_from(list(Law))
CODES = sorted(code for code in known() if not code.startswith("Flam."))


@st.composite
def components(draw: st.DrawFn, most: int = 6) -> tuple[Component, ...]:
    """Draw components of one oil that together make up at most all of it."""
    count = draw(st.integers(1, most))
    parts = [draw(st.floats(0.0005, 1.0)) for _ in range(count)]
    whole = max(1.0, sum(parts))
    return tuple(
        Component(
            name=f"substance {i}",
            low=Fraction1(0.0),
            high=Fraction1(part / whole),
            classes=tuple(draw(st.lists(st.sampled_from(CODES), max_size=3, unique=True))),
            m_acute=draw(st.sampled_from([None, 1.0, 10.0])),
            m_chronic=draw(st.sampled_from([None, 1.0, 10.0])),
            additive=draw(st.booleans()),
            unknown=frozenset(draw(st.lists(st.sampled_from(list(Route)), max_size=1))),
        )
        for i, part in enumerate(parts)
    )


def recipe(parts: Sequence[Component], load: float) -> Recipe:
    """Return a candle of one oil in plain wax."""
    oil = SafetySheet(name="oil", components=tuple(parts))
    return Recipe(name="candle", oils=(Part(oil, Fraction1(1.0)),), load=Fraction1(load))


def worst(found: Classification) -> dict[str, int]:
    """Return the rank of each family found; 1 is worst."""
    return {finding.hazard.family: finding.hazard.rank for finding in found.findings}


@given(components(), st.floats(0.001, 0.5), st.floats(1.0, 2.0), LAWS)
def test_raising_a_load_never_removes_a_hazard(
    parts: tuple[Component, ...], load: float, by: float, law: Law
) -> None:
    """Each family found stays, at the same rank or worse; nobody mentioned is forgotten."""
    before = classify(recipe(parts, load).mixture(), law)
    after = classify(recipe(parts, load * by).mixture(), law)
    ranks = worst(after)
    for family, rank in worst(before).items():
        assert ranks[family] <= rank
    assert {m.ingredient.key for m in before.mentioned} <= {
        m.ingredient.key for m in after.mentioned
    }


@given(components(), st.floats(0.001, 0.5), LAWS, st.integers(0, 999))
def test_the_order_of_ingredients_never_matters(
    parts: tuple[Component, ...], load: float, law: Law, seed: int
) -> None:
    """The same findings with the same reach, whatever the order of the rows."""
    shuffled = random.Random(seed).sample(parts, len(parts))  # noqa: S311 - no secret
    one = classify(recipe(parts, load).mixture(), law)
    other = classify(recipe(shuffled, load).mixture(), law)
    reaches = {finding.hazard.code: finding.reach for finding in one.findings}
    assert reaches == {finding.hazard.code: finding.reach for finding in other.findings}


@given(components(), st.floats(0.001, 0.5), LAWS, st.floats(0.01, 0.99))
def test_splitting_one_ingredient_in_two_never_changes_the_result(
    parts: tuple[Component, ...], load: float, law: Law, cut: float
) -> None:
    """Two rows of one substance are one substance: shares add up first."""
    first, *others = parts
    halves = [
        replace(first, high=Fraction1(first.high * cut)),
        replace(first, high=Fraction1(first.high - first.high * cut)),
    ]
    whole = classify(recipe(parts, load).mixture(), law)
    split = classify(recipe([*halves, *others], load).mixture(), law)
    assert whole.codes == split.codes
    assert len(whole.mentioned) == len(split.mentioned)


@given(components(), LAWS)
def test_a_mark_really_is_where_the_result_changes(parts: tuple[Component, ...], law: Law) -> None:
    """Just below the load of a mark the class is not found; just at it, it is (or a worse one)."""
    candle = recipe(parts, 0.08)
    for mark in scale(candle, law).marks:
        x = mark.at.of_total
        below = classify(candle.mixture(x * (1.0 - 1e-6)), law)
        at = classify(candle.mixture(min(1.0, x * (1.0 + 1e-7))), law)
        if mark.says == "EUH208":
            assert mark.because[0] in {m.ingredient.name for m in at.mentioned}
            assert mark.because[0] not in {m.ingredient.name for m in below.mentioned}
            continue
        hazard = hazard_class(mark.says)
        assert worst(at)[hazard.family] <= hazard.rank
        assert mark.says not in below.codes


@given(components(), LAWS, st.floats(0.001, 0.9))
def test_what_is_found_at_a_load_begins_at_or_below_it(
    parts: tuple[Component, ...], law: Law, load: float
) -> None:
    """The scale misses no hazard: each class found has its mark at or below the load."""
    candle = recipe(parts, load)
    marks = {mark.says: mark.at.of_total for mark in scale(candle, law).marks}
    for code in classify(candle.mixture(), law).codes:
        assert marks[code] <= load * (1.0 + 1e-8)


def test_a_dye_with_a_sheet_shares_its_substances_with_the_oil() -> None:
    """The dye's share shrinks as the load grows: the mark counts both (arithmetic by hand).

    Oil 12 %, dye 0.6 % of the rest with 50 % of the same substance: 0.12 x + 0.003 (1 − x)
    = 0.01 gives x = 0.007/0.117.
    """
    same = Component(
        name="s", cas="78-70-6", low=Fraction1(0.0), high=Fraction1(0.12), classes=("Skin Sens. 1",)
    )
    oil = SafetySheet(name="oil", components=(same,))
    dye = SafetySheet(name="dye", components=(replace(same, high=Fraction1(0.5)),))
    candle = Recipe(
        name="c",
        oils=(Part(oil, Fraction1(1.0)),),
        load=Fraction1(0.05),
        others=(Part(dye, Fraction1(0.006)),),
        wax=Fraction1(0.994),
    )
    marks = {mark.says: mark.at.of_total for mark in scale(candle, Law.EU).marks}
    assert marks["Skin Sens. 1"] == pytest.approx(0.007 / 0.117)
    assert marks["EUH208"] == 0.0  # the dye alone has 0.3 %

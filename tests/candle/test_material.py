"""Checking the facts of one material."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.kinds import ROLES, built_in
from rushlight.candle.material import check, keys
from rushlight.errors import BadInput


def places(role: str, typed: dict[str, Any]) -> list[str]:
    """Return where a material is wrong."""
    with pytest.raises(BadInput) as caught:
        check(role, typed, built_in())
    return [problem.place for problem in caught.value.problems]


def test_good_facts_pass() -> None:
    """Text and {value, origin} tables, ranges and single values."""
    check(
        "wax",
        {"kind": "soy container", "pour": "57 C", "max_load": {"value": "9 %", "origin": "x"}},
        built_in(),
    )
    check("vessel", {"profile": [["0 mm", "70 mm"], ["85 mm", "74 mm"]]}, built_in())
    check("finish", {"sheds": "yes", "amount": "4 g"}, built_in())


def test_every_bad_fact_is_told_by_its_key() -> None:
    """Absurd, of the wrong unit, unknown, neither yes nor no."""
    typed = {
        "pour": "170-155 F",
        "max_load": "900 %",
        "density_set": "8 oz",
        "colour": "red",
        "kind": "soya",
    }
    assert sorted(places("wax", typed)) == ["colour", "density_set", "kind", "max_load", "pour"]
    assert places("finish", {"sheds": "perhaps"}) == ["sheds"]
    assert places("vessel", {"profile": [["0 mm", "70 mm"]]}) == ["profile"]
    assert places("soup", {}) == ["role"]


def test_a_melting_range_runs_from_cold_to_hot() -> None:
    """A solidus above the liquidus is refused, the kind's liquidus (53 °C) included; once."""
    assert places("wax", {"solidus": "54 C", "liquidus": "52 C"}) == ["solidus"]
    assert places("wax", {"kind": "soy container", "solidus": "54 C"}) == ["solidus"]
    assert places("wax", {"kind": "soy container", "liquidus": "40 C"}) == ["liquidus"]
    assert places("wax", {"kind": "soy container", "solidus": "hot"}) == ["solidus"]
    check("wax", {"kind": "soy container", "solidus": "54 C", "liquidus": "58 C"}, built_in())
    check("wax", {"kind": "soy container", "solidus": "54 C", "melts_at": "58 C"}, built_in())


def test_a_wick_may_have_a_burn_rate() -> None:
    """One figure or a range in g/h, within what one wick burns."""
    check("wick", {"burn_rate": {"value": "4.2 g/h", "origin": "measured"}}, built_in())
    check("wick", {"burn_rate": "3.8-4.6 g/h", "suits": "65-80 mm"}, built_in())
    for bad in ("4.6-3.8 g/h", "40 g/h", "4 mm", "lots"):
        assert places("wick", {"burn_rate": bad}) == ["burn_rate"]


def test_a_material_does_not_use_another() -> None:
    """`use` belongs to a candle; a material has a kind."""
    for role in ROLES:
        assert "use" not in keys(role)
    assert places("wick", {"use": "cotton flat"}) == ["use"]


@given(
    st.sampled_from(ROLES),
    st.dictionaries(
        st.sampled_from(sorted({key for role in ROLES for key in keys(role)})),
        st.text(max_size=20) | st.floats() | st.lists(st.text(max_size=3), max_size=2),
        max_size=6,
    ),
)
def test_nothing_but_bad_input_comes_of_a_bad_material(role: str, typed: dict[str, Any]) -> None:
    """Whatever is typed, each problem has place, what and remedy."""
    try:
        check(role, typed, built_in())
    except BadInput as bad:
        for problem in bad.problems:
            assert problem.place
            assert problem.what
            assert problem.remedy

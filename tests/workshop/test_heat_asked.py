"""What is typed about a setting or a burn: read with its units, refused all at once."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.surroundings import REFRIGERATOR, Stand
from rushlight.workshop.heat_asked import (
    BURN_FIELDS,
    SET_FIELDS,
    rate,
    rates,
    read_burn,
    read_set,
)


def test_nothing_typed_is_the_room_on_wood() -> None:
    """The sheet's pour temperature, the vessel as warm as the room."""
    asked = read_set({}, room=ZERO + 19)
    assert (asked.pour, asked.vessel) == (None, ZERO + 19)
    assert (asked.place.room, asked.place.stand, asked.place.gap) == (ZERO + 19, Stand.WOOD, None)


def test_every_field_is_read_in_the_makers_units() -> None:
    """Fahrenheit, inches, words."""
    typed = {"pour": "150 F", "preheat": "100 F", "room": "68 F", "gap": "1 in", "stand": "rack",
             "draught": "fan"}  # fmt: skip
    asked = read_set(typed)
    assert asked.pour == pytest.approx((150 - 32) / 1.8 + ZERO)
    assert asked.vessel == pytest.approx((100 - 32) / 1.8 + ZERO)
    assert asked.place.gap == pytest.approx(0.0254)
    assert (asked.place.stand, asked.place.draught) == (Stand.RACK, 3.0)


def test_the_refrigerator_takes_a_jar_at_room_temperature() -> None:
    """The air changes, the vessel comes from the room."""
    asked = read_set({"fridge": "yes", "room": "22 C"})
    assert asked.place.room == REFRIGERATOR.room
    assert asked.vessel == pytest.approx(ZERO + 22)


def test_every_problem_is_said_at_its_field() -> None:
    """Not the first only."""
    typed = {"pour": "warm", "room": "90 C", "gap": "-", "stand": "moss", "draught": "gale"}
    with pytest.raises(BadInput) as bad:
        read_set(typed)
    assert {p.place for p in bad.value.problems} == {"pour", "room", "gap", "stand", "draught"}
    assert all(p.what and p.remedy for p in bad.value.problems)
    with pytest.raises(BadInput) as bad:
        read_burn({"rate": "much", "hours": "3 d", "limit": "500 C"})
    assert {p.place for p in bad.value.problems} == {"rate", "hours", "limit"}


@pytest.mark.parametrize(
    ("text", "found"),
    [("4.2 g/h", (4.2, 4.2)), ("4,2", (4.2, 4.2)), ("3.8-4.6 g/h", (3.8, 4.6)),
     ("3.8 g/h to 4.6 g/h", (3.8, 4.6)), ("4 g/hr", (4.0, 4.0))],
)  # fmt: skip
def test_a_burn_rate_is_one_value_or_two(text: str, found: tuple[float, float]) -> None:
    """With or without its unit."""
    assert rates(text) == pytest.approx(found)


@pytest.mark.parametrize("text", ["", "4 oz/h", "5-4 g/h", "1-2-3", "g/h", "4 g"])
def test_what_is_no_burn_rate_is_refused(text: str) -> None:
    """With how to type one."""
    with pytest.raises(BadInput, match="g/h"):
        rates(text)


@given(st.dictionaries(st.sampled_from(SET_FIELDS + BURN_FIELDS), st.text(max_size=20)))
def test_whatever_is_typed_is_read_or_refused(typed: dict[str, str]) -> None:
    """Never another error."""
    for reader in (read_set, read_burn):
        with suppress(BadInput):
            assert reader(typed).place.room > 0


def test_a_rate_is_in_grams_an_hour() -> None:
    """As the trade weighs it."""
    assert rate("5") == 5.0

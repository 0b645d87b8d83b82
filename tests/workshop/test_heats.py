"""From a candle of the workshop to forecasts, and to a table of many."""

from __future__ import annotations

import csv
import io
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.surroundings import Place
from rushlight.workshop import Workshop, candles, heats, materials
from rushlight.workshop.heat_asked import read_set
from rushlight.workshop.heat_keys import named
from rushlight.workshop.heat_sweeps import (
    Design,
    as_csv,
    burn_cases,
    listed,
    run,
    set_cases,
    temperatures,
)
from rushlight.workshop.stove import State, Stove

pytestmark = pytest.mark.once  # heat is asked of a candle, wherever it is kept

ROOM = ZERO + 20


@pytest.fixture
def stove() -> Iterator[Stove]:
    """Return a stove that is closed in the end."""
    made = Stove()
    yield made
    made.close()


def document(shop: Workshop, slug: str = "slipway") -> dict[str, Any]:
    """Return what stands in a candle's form."""
    return candles.get(shop, slug).document


@pytest.fixture
def jar(workshop: Workshop) -> JarSheet:
    """Return the sheet of a demo candle."""
    return heats.jar_of(workshop, document(workshop))


def test_the_same_candle_and_setting_are_worked_out_once(jar: JarSheet, stove: Stove) -> None:
    """Kept by document and settings: what the result depends on, and nothing else."""
    mine, _ = heats.settings_asked(jar, {}, room=ROOM)
    same, _ = heats.settings_asked(jar, {"room": "20 C"}, room=ROOM)
    other, _ = heats.settings_asked(jar, {"room": "25 C"}, room=ROOM)
    pot = heats.set_pot(stove, mine)
    assert pot.ended.wait(60)
    assert pot.state is State.DONE
    assert heats.set_pot(stove, same) is pot
    assert heats.set_pot(stove, other) is not pot
    assert pot.found.figures.skin < pot.found.figures.whole < pot.found.figures.movable


def test_the_advice_does_not_depend_on_the_pour_it_advises_on(jar: JarSheet, stove: Stove) -> None:
    """A changed pour temperature moves the mark on the curve and costs nothing."""
    warm, _ = heats.settings_asked(jar, {"pour": "75 C"}, room=ROOM)
    cool, _ = heats.settings_asked(jar, {"pour": "65 C"}, room=ROOM)
    pot = heats.curve_pot(stove, warm)
    assert heats.curve_pot(stove, cool) is pot
    assert pot.ended.wait(60)
    assert len(pot.found.forecasts) == pot.steps == len(pot.found.pours)
    assert list(pot.found.pours) == sorted(pot.found.pours)


def test_the_other_setting_takes_what_is_not_typed_from_the_first(jar: JarSheet) -> None:
    """And says its problems at its own fields."""
    mine, other = heats.settings_asked(
        jar, {"pour": "70 C", "gap": "20 mm", "other.fridge": "yes"}, room=ROOM
    )
    assert other is not None
    assert (other.pour, other.place.gap) == (mine.pour, mine.place.gap)
    assert other.place.room < mine.place.room
    with pytest.raises(BadInput) as bad:
        heats.settings_asked(jar, {"other.pour": "300 C"}, room=ROOM)
    assert [p.place for p in bad.value.problems] == ["other.pour"]
    with pytest.raises(BadInput) as bad:
        heats.settings_asked(jar, {"pour": "20 C", "other.room": "hot"}, room=ROOM)
    assert [p.place for p in bad.value.problems] == ["pour", "other.room"]


@pytest.mark.parametrize(
    ("typed", "place"),
    [({"pour": "20 C"}, "pour"), ({"room": "55 C"}, "room"), ({"preheat": "190 C"}, "preheat")],
)
def test_what_cannot_be_is_refused_before_any_time_is_spent(
    jar: JarSheet, typed: dict[str, str], place: str
) -> None:
    """At the field it was typed in, with what to do."""
    with pytest.raises(BadInput) as bad:
        heats.setting_asked(jar, read_set(typed, room=ROOM))
    assert place in {p.place for p in bad.value.problems}
    assert all(p.remedy for p in bad.value.problems)


def test_a_wick_nobody_weighed_is_a_guess_that_says_so(workshop: Workshop) -> None:
    """Typed goes before known, known before guessed."""
    plain = document(workshop)
    plain["wick"] = {"use": "cotton flat"}
    jar = heats.jar_of(workshop, plain)
    unknown = heats.burn_asked(jar, {}, room=ROOM)
    assert (unknown.guessed, unknown.rate) == (True, heats.GUESS)
    plain["wick"] = {"use": "cotton flat", "burn_rate": "3.8-4.6 g/h"}
    jar = heats.jar_of(workshop, plain)
    known = heats.burn_asked(jar, {}, room=ROOM)
    assert not known.guessed
    assert known.rate == pytest.approx(4.2)
    typed = heats.burn_asked(jar, {"rate": "6 g/h"}, room=ROOM)
    assert (typed.guessed, typed.rate) == (False, 6.0)


def test_the_wicks_of_the_workshop_are_placed_where_their_rate_is_known(
    workshop: Workshop,
) -> None:
    """The others are named as unknown, never left out."""
    materials.save(
        workshop, None, {"role": "wick", "name": "Weighed", "facts": {"burn_rate": "4.2 g/h"}}
    )
    materials.save(workshop, None, {"role": "wick", "name": "Unweighed", "kind": "cotton flat"})
    known, without = heats.wicks_known(workshop)
    weighed = next(wick for wick in known if wick.name == "Weighed")
    assert (weighed.low, weighed.high) == (4.2, 4.2)
    assert "Unweighed" in without


def design(shop: Workshop, slug: str = "slipway") -> Design:
    """Return a demo candle laid out at any load."""
    found = document(shop, slug)

    def lay(load: str) -> JarSheet:
        scent = {**found.get("fragrance", {}), "load": load} if load else found.get("fragrance")
        return heats.jar_of(shop, {**found, "fragrance": scent})

    return Design(slug, lay)


def test_a_sweep_has_one_row_a_case_in_order(workshop: Workshop) -> None:
    """Loads × pour temperatures, with units in the columns."""
    planned = set_cases(
        [design(workshop)], loads=["4 %", "8 %"], pours=temperatures("65; 75 C"), place=Place()
    )
    with ThreadPoolExecutor(1) as executor:
        rows = run(planned, executor=executor)
    assert [r["load_of_wax_percent"] for r in rows] == [4.0, 4.0, 8.0, 8.0]
    assert [r["pour_temperature_c"] for r in rows] == pytest.approx([65, 75, 65, 75])
    table = list(csv.DictReader(io.StringIO(as_csv(rows))))
    assert len(table) == 4
    assert float(table[0]["time_to_set_s"]) > float(table[0]["time_to_skin_s"]) > 0
    assert list(table[0])[-1] == "problem"


def test_a_case_that_cannot_be_is_a_row_that_says_why(workshop: Workshop) -> None:
    """The others are worked out all the same."""
    planned = set_cases(
        [design(workshop)], loads=[], pours=temperatures("20 C; 70 C"), place=Place()
    )
    with ThreadPoolExecutor(1) as executor:
        refused, fine = run(planned, executor=executor)
    assert "does not pour" in str(refused["problem"])
    assert fine["problem"] == ""
    text = as_csv([refused, fine])
    assert text.splitlines()[0].endswith(",problem")


def test_a_stopped_sweep_keeps_the_rows_there_are(workshop: Workshop) -> None:
    """And begins no other."""
    planned = set_cases(
        [design(workshop)], loads=[], pours=[ZERO + 60 + n / 10 for n in range(100)], place=Place()
    )
    told: list[int] = []
    with ThreadPoolExecutor(1) as executor:
        rows = run(planned, executor=executor, progress=told.append, stop=lambda: len(told) > 2)
    assert 2 < len(rows) < 100
    asked = [60 + n / 10 for n in range(len(rows))]
    assert [r["pour_temperature_c"] for r in rows] == pytest.approx(asked)


def test_a_long_question_stops_within_two_seconds(jar: JarSheet, stove: Stove) -> None:
    """Cancelled in the middle, it tells how far it came and its hand is soon free again."""
    question = heats.burn_asked(jar, {"rate": "5 g/h"}, room=ROOM)
    pot = heats.window_pot(stove, question, [])
    until = time.monotonic() + 60
    while not pot.done and time.monotonic() < until:
        time.sleep(0.005)
    pot.cancel()
    assert pot.settled.wait(2)
    assert pot.state is State.STOPPED
    assert 0 < pot.done < pot.steps


def test_a_pot_knows_beforehand_how_many_parts_it_has(jar: JarSheet, stove: Stove) -> None:
    """So that the page can say how far it is; all are done in the end."""
    mine, _ = heats.settings_asked(jar, {}, room=ROOM)
    question = heats.burn_asked(jar, {"rate": "5 g/h"}, room=ROOM)
    for pot in (heats.set_pot(stove, mine), heats.burn_pot(stove, question)):
        assert pot.ended.wait(60)
        assert pot.state is State.DONE
        assert pot.done == pot.steps > 2


def test_a_wick_of_unknown_rate_gives_no_burn(workshop: Workshop) -> None:
    """Nothing is guessed in a table."""
    found = document(workshop)
    found["wick"] = {"use": "cotton flat"}
    plain = Design("plain", lambda _load: heats.jar_of(workshop, found))
    assert burn_cases([plain], loads=[], wicks=(), place=Place()) == []


def test_a_list_is_read_as_it_is_typed() -> None:
    """Semicolons or commas, one unit for all."""
    assert listed("6 %; 8 %, 10 %\n12 %") == ["6 %", "8 %", "10 %", "12 %"]
    assert temperatures("60; 65 C") == [pytest.approx(ZERO + 60), pytest.approx(ZERO + 65)]
    assert temperatures("140 F") == [pytest.approx(ZERO + 60)]
    assert temperatures("") == []


def test_figures_carry_their_unit_and_nothing_becomes_a_number(jar: JarSheet, stove: Stove) -> None:
    """What does not come about is null."""
    mine, _ = heats.settings_asked(jar, {}, room=ROOM)
    pot = heats.set_pot(stove, mine)
    assert pot.ended.wait(60)
    found = named(pot.found.figures)
    assert found["time_to_set_s"] == pytest.approx(pot.found.figures.whole)
    assert found["relief_mass_g"] == pytest.approx(1000 * pot.found.figures.relief)
    assert all(value is None or isinstance(value, float) for value in found.values())

"""`rushlight pot`: when the pour window of a cooling pitcher opens and closes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
SOY = ("--wax", "soy container", "--mass", "2 kg")


def test_a_reading_above_the_window_names_both_times_with_their_spread(run: Run) -> None:
    """On the clock, and never as a promise."""
    ran = run("pot", *SOY, "--reading", "14:05=85C", "--reading", "14:15=80.5C")
    assert ran.status == 0
    assert "It opens at 14:" in ran.out
    assert " ± " in ran.out
    assert "It closes at 14:" in ran.out
    assert "never replaces the thermometer" in ran.out


def test_json_tells_clock_times_and_seconds_of_the_same_moments(run: Run) -> None:
    """Seconds count from the first reading."""
    data = run("pot", *SOY, "--reading", "14:05=85C", "--json").data
    opens = 14 * 60 + 5 + data["opens_s"] / 60
    hours, minutes = map(int, data["opens"].split(":"))
    assert hours * 60 + minutes == pytest.approx(opens, abs=0.51)
    assert 0 < data["opens_s"] < data["closes_s"]
    assert data["opens_spread_s"] > 0
    assert data["temperature_c"] == pytest.approx(85)
    assert data["readings_used"] == 1


def test_a_reading_after_midnight_belongs_to_the_next_day(run: Run) -> None:
    """23:55 and then 0:05 are ten minutes apart."""
    late = run("pot", *SOY, "--reading", "23:55=85C", "--reading", "0:05=80.5C", "--json").data
    noon = run("pot", *SOY, "--reading", "11:55=85C", "--reading", "12:05=80.5C", "--json").data
    assert late["opens_s"] == pytest.approx(noon["opens_s"])
    assert late["opens"] == noon["opens"].replace("12:", "00:")


def test_times_in_the_wrong_order_are_refused(run: Run) -> None:
    """An earlier time on the same afternoon is a slip, not tomorrow."""
    ran = run("pot", *SOY, "--reading", "14:15=80C", "--reading", "14:05=85C")
    assert ran.status == 2
    assert "earlier than reading 1" in ran.err


def test_a_candle_file_says_wax_window_and_how_much_is_in_the_pot(run: Run, candle: Path) -> None:
    """What is typed besides overrules it."""
    sheet = run("sheet", candle, "--json").data
    data = run("pot", candle, "--reading", "14:05=81C", "--json").data
    assert data["mass_g"] == pytest.approx(sheet["batch"]["pot_mass_g"])
    assert data["pour_temperature_low_c"] == pytest.approx(
        sheet["windows"]["pour_temperature_low_c"], abs=1e-5
    )
    own = run(
        "pot", candle, "--reading", "14:05=81C", "--json", "--mass", "1 kg", "--pour", "60-70 C"
    ).data
    assert own["mass_g"] == pytest.approx(1000)
    assert own["pour_temperature_low_c"] == pytest.approx(60)


def test_a_warm_room_and_a_heavy_pitcher_make_it_slower(run: Run) -> None:
    """Both keep the heat in: the window opens later."""
    plain = run("pot", *SOY, "--reading", "14:05=85C", "--json").data["opens_s"]
    warm = run("pot", *SOY, "--reading", "14:05=85C", "--json", "--room", "30 C").data["opens_s"]
    heavy = run("pot", *SOY, "--reading", "14:05=85C", "--json", "--pitcher", "2 kg").data
    assert warm > plain
    assert heavy["opens_s"] > plain


def test_what_is_missing_is_said_all_at_once(run: Run) -> None:
    """Wax, mass and a reading, each with what to type."""
    problems = run("pot", "--json").problems
    assert sorted(problem["place"] for problem in problems) == ["--mass", "--reading", "--wax"]


@pytest.mark.parametrize(
    ("words", "place"),
    [
        (("--reading", "14:05"), "--reading 1"),
        (("--reading", "25:99=81C"), "--reading 1"),
        (("--reading", "14:05=81"), "--reading 1"),
        (("--reading", "14:05=81C", "--reading", "14:06=hot"), "--reading 2"),
        (("--reading", "14:05=81C", "--room", "cold"), "--room"),
        (("--reading", "14:05=81C", "--diameter", "0 mm"), "--diameter"),
        (("--reading", "14:05=81C", "--pitcher", "8 fl oz"), "--pitcher"),
        (("--reading", "14:05=81C", "--pour", "170-150 F"), "wax.pour"),
        (("--reading", "14:05=81C", "--mass", ""), "--mass"),
        (("--reading", "14:05=900C"), "readings.0.temperature"),
    ],
)
def test_what_cannot_be_read_is_refused_at_its_place(
    run: Run, words: tuple[str, ...], place: str
) -> None:
    """And nowhere twice."""
    problems = run("pot", *SOY, *words, "--json").problems
    assert [problem["place"] for problem in problems] == [place]


def test_a_workshop_lends_its_pitcher_and_its_room(run: Run, workshop_file: Path) -> None:
    """Its candle, by name, gives the wax and the pot."""
    from rushlight.workshop import candles, settings
    from rushlight.workshop.opening import open_workshop

    shop = open_workshop(workshop_file)
    name, room = candles.listing(shop)[0].name, settings.current(shop).room
    shop.close()
    ran = run("pot", name, "--workshop", workshop_file, "--reading", "14:05=81C", "--json")
    assert ran.status == 0
    assert ran.data["room_temperature_c"] == pytest.approx(room - 273.15, abs=1e-5)

"""`rushlight pot`: the pitcher on the bench, from the thermometer readings so far."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from rushlight.cli.pot_input import Bench, Wanted, read
from rushlight.cli.say import say, say_json
from rushlight.heat.pot import PotForecast, forecast
from rushlight.quantity import show
from rushlight.quantity.show import METRIC, US, Preference

_ICE = 273.15


def run_pot(wanted: Wanted, *, as_json: bool) -> None:
    """Say when the pour window opens and closes."""
    bench = read(wanted)
    told = forecast(bench.pot, readings=bench.readings, room=bench.room, window=bench.wax.pour)
    if as_json:
        say_json(_shaped(told, bench))
    elif bench.found:
        _say(told, bench, bench.found.preferred(wanted.units))
    else:
        _say(told, bench, US if wanted.units == "us" else METRIC)


def _clock(bench: Bench, after: float) -> str:
    """Return the time of day a number of seconds after the first reading."""
    day = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)  # any day: only the clock is shown
    return show.clock(day + dt.timedelta(minutes=round((bench.origin + after) / 60)))


def _shaped(told: PotForecast, bench: Bench) -> Mapping[str, Any]:
    """Return the forecast as JSON: clock times, and seconds since the first reading."""

    def rounded(value: float | None) -> float | None:
        return None if value is None else round(float(value), 6)

    return {
        "state": told.state.value,
        "opens": None if told.opens is None else _clock(bench, told.opens),
        "opens_s": rounded(told.opens),
        "opens_spread_s": rounded(told.spread_opens),
        "closes": None if told.closes is None else _clock(bench, told.closes),
        "closes_s": rounded(told.closes),
        "closes_spread_s": rounded(told.spread_closes),
        "pour_temperature_low_c": rounded(bench.wax.pour.low - _ICE),
        "pour_temperature_high_c": rounded(bench.wax.pour.high - _ICE),
        "temperature_c": rounded(told.temperature - _ICE),
        "temperature_spread_k": rounded(told.spread_temperature),
        "rate_k_min": rounded(told.rate),
        "loss_factor": rounded(told.loss_factor),
        "room_temperature_c": rounded(told.room - _ICE),
        "mass_g": rounded(bench.pot.wax_mass * 1e3),
        "readings_used": told.used,
        "notes": list(told.notes),
    }


def _say(told: PotForecast, bench: Bench, pref: Preference) -> None:
    window = show.temperature_window(bench.wax.pour, pref)
    say(f"The pour window is {window}; the wax is {told.state.value}.")
    for word, at, spread in (
        ("opens", told.opens, told.spread_opens),
        ("closes", told.closes, told.spread_closes),
    ):
        if at is None:
            say(f"No time can be named at which it {word}.")
        else:
            about = "" if spread is None else f" ± {max(1, round(spread / 60))} min"
            say(f"It {word} at {_clock(bench, at)}{about}.")
    now, off = (
        show.temperature(told.temperature, pref),
        show.difference(told.spread_temperature, pref),
    )
    say(f"At the last reading: {now} ± {off}.")
    for note in told.notes:
        say(note)
    say("The spread holds nine times in ten; a forecast never replaces the thermometer.")

"""`rushlight set`: how a candle sets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rushlight.cli.heat_found import Spoken, Wanted, draw, found_for, show_answers
from rushlight.cli.say import say, say_json
from rushlight.heat.enthalpy import ZERO

if TYPE_CHECKING:
    from rushlight.heat.set import SetForecast
    from rushlight.heat.setting import Setting


def run_set(wanted: Wanted, *, as_json: bool) -> None:
    """Forecast how it sets, and write it as asked."""
    from rushlight.heat.set import forecast
    from rushlight.workshop.heat_asked import read_set
    from rushlight.workshop.heats import setting_asked

    found, room = found_for(wanted)
    setting = setting_asked(found.sheet.jar, read_set(wanted.typed, room=room))
    told = forecast(setting)
    name = found.sheet.jar.candle.name
    if not as_json or wanted.plot is not None:
        from rushlight.web import heat_set

        spoken = Spoken(found.preferred(wanted.units))
        subject = heat_set.Subject(name, setting, told)
    if wanted.plot is not None:
        draw(wanted.plot, f"How {name} sets", heat_set.charts([subject], spoken, -1.0))
    if as_json:
        say_json(shaped(name, setting, told))
        return
    poured = f"Poured at {spoken.temperature(setting.pour)}, vessel at"
    place = f"{spoken.temperature(setting.vessel)}, air at {spoken.temperature(setting.place.room)}"
    tendencies = heat_set.said(subject, spoken)
    show_answers(
        f"How {name} sets",
        [f"{poured} {place}.", heat_set.chance(told), *tendencies],
        heat_set.answers(subject, spoken),
    )
    say("A forecast with its spread, eight cases in ten: pour one and look before you pour many.")
    if wanted.plot is not None:
        say(f"{wanted.plot}: written.")


def shaped(name: str, setting: Setting, told: SetForecast) -> Mapping[str, Any]:
    """Return the forecast as JSON."""
    from rushlight.workshop.heat_keys import SET, number, spreads

    gap = setting.place.gap
    return {
        "candle": name,
        "pour_temperature_c": number(setting.pour - ZERO),
        "vessel_temperature_c": number(setting.vessel - ZERO),
        "room_temperature_c": number(setting.place.room - ZERO),
        "stand": setting.place.stand.value,
        "gap_mm": None if gap is None else number(1000 * gap),
        "draught_factor": number(setting.place.draught),
        "figures": spreads(told.spreads, SET),
        "sinkhole_percent": number(100 * told.sinkhole),
        "relief_temperature_c": number(told.relief_pour - ZERO),
        "words": list(told.words),
    }

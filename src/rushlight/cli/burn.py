"""`rushlight burn`: how a candle burns."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rushlight.cli.heat_found import Spoken, Wanted, draw, found_for, show_answers
from rushlight.cli.say import say, say_json
from rushlight.heat.enthalpy import ZERO

if TYPE_CHECKING:
    from rushlight.workshop.heats import BurnQuestion, BurnStudy

CARE = (
    "A forecast with its spread, eight cases in ten. Test burn before you sell.",
    "Hot glass burns and can crack; never leave a flame alone; stop at half an inch of wax.",
)


def run_burn(wanted: Wanted, *, as_json: bool) -> None:
    """Forecast how it burns, and write it as asked."""
    from rushlight.workshop.heats import burn_asked, studied

    found, room = found_for(wanted)
    question = burn_asked(found.sheet.jar, wanted.typed, room=room)
    study = studied(question)
    name = found.sheet.jar.candle.name
    if not as_json or wanted.plot is not None:
        from rushlight.web import heat_burn

        spoken = Spoken(found.preferred(wanted.units))
    if wanted.plot is not None:
        headings = {"pool": "Pool, across", "wall": "Wall, at its hottest place",
                    "depth": "Pool, depth", "life": "Wall, hottest in each burn"}  # fmt: skip
        drawn = heat_burn.charts(study, question, spoken)
        draw(wanted.plot, f"How {name} burns", [(headings[k], d) for k, d in drawn.items()])
    if as_json:
        say_json(shaped(name, question, study))
        return
    guess = " (a guess: nothing is known of this wick; see --rate)" if question.guessed else ""
    said = f"With a wick that burns {question.rate:.1f} g/h{guess}."
    show_answers(
        f"How {name} burns",
        [said, *heat_burn.said(study, question, spoken)],
        heat_burn.answers(study, spoken),
    )
    for line in CARE:
        say(line)
    if wanted.plot is not None:
        say(f"{wanted.plot}: written.")


def shaped(name: str, question: BurnQuestion, study: BurnStudy) -> Mapping[str, Any]:
    """Return the forecast as JSON."""
    from rushlight.workshop.heat_keys import BURN, number, spreads

    life = study.life
    return {
        "candle": name,
        "burn_rate_g_h": number(question.rate),
        "burn_rate_guessed": question.guessed,
        "burn_s": number(question.asked.seconds),
        "room_temperature_c": number(question.asked.place.room - ZERO),
        "figures": spreads(study.first.spreads, BURN),
        "life_s": number(life.hours.likely),
        "life_low_s": number(life.hours.low),
        "life_high_s": number(life.hours.high),
        "life_burns": life.sessions,
        "stranded_mass_g": number(1000 * life.stranded),
        "burns": [
            {"wall_temperature_c": number(float(wall) - ZERO),
             "pool_of_width_percent": number(100 * float(share))}
            for wall, share in zip(life.wall, life.pool_share, strict=True)
        ],
        "words": [*study.first.words, *life.words],
    }  # fmt: skip

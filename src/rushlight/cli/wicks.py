"""`rushlight wicks`: which burn rates, and which wicks, are worth testing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rushlight.cli.burn import CARE
from rushlight.cli.heat_found import Spoken, Wanted, draw, found_for, show_answers
from rushlight.cli.say import say, say_json
from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO

if TYPE_CHECKING:
    from rushlight.heat.wick_window import WickRate, WickWindow
    from rushlight.workshop.heats import BurnQuestion


def run_wicks(wanted: Wanted, typed: Sequence[str], *, as_json: bool) -> None:
    """Work out the wick window, and write it as asked."""
    from rushlight.heat.wick_window import wick_window
    from rushlight.workshop.heats import burn_asked

    found, room = found_for(wanted)
    question = burn_asked(found.sheet.jar, wanted.typed, room=room)
    if question.places:
        raise BadInput.one(
            f"The range of burn rates is for one wick; this candle has {len(question.places)}.",
            "Compare burn rates with “rushlight burn --rate”.",
            "wick.count",
        )
    wicks, without = _wicks(wanted, typed, question)
    told = wick_window(
        question.burning,
        wicks=wicks,
        seconds=question.asked.seconds,
        wall_limit=question.asked.limit,
    )
    name = found.sheet.jar.candle.name
    if wanted.plot is not None:
        from rushlight.web.drawing.range import window_range

        drawn = window_range(told, wicks, now=None)
        draw(wanted.plot, f"Wicks worth testing in {name}", [("", drawn)])
    if as_json:
        say_json(shaped(name, question, told, wicks, without))
        return
    _say(name, question, told, wicks, without, Spoken(found.preferred(wanted.units)))
    if wanted.plot is not None:
        say(f"{wanted.plot}: written.")


def _wicks(
    wanted: Wanted, typed: Sequence[str], question: BurnQuestion
) -> tuple[tuple[WickRate, ...], tuple[str, ...]]:
    """Return the wicks to place: those typed, the workshop's, the candle's own; and the unknown."""
    from rushlight.heat.wick_window import WickRate
    from rushlight.workshop.heat_asked import rates

    have: list[WickRate] = []
    without: tuple[str, ...] = ()
    for text in typed:
        name, given, burns = text.rpartition("=")
        if not given or not name.strip():
            raise BadInput.one(f"“{text}” names no wick.", 'Type "name=4.6 g/h".', "--wick")
        try:
            low, high = rates(burns)
        except BadInput as bad:
            raise bad.at("--wick") from bad
        have.append(WickRate(name.strip(), low, high))
    if wanted.workshop is not None:
        from rushlight.cli.workshop import opened
        from rushlight.workshop.heats import wicks_known

        with opened(wanted.workshop) as shop:
            known, without = wicks_known(shop)
        have += [wick for wick in known if wick.name not in {w.name for w in have}]
    elif question.known is not None:
        own = question.jar.candle.wick.name
        have.append(WickRate(own, question.known.low, question.known.high))
    return tuple(have), without


def _say(  # noqa: PLR0913, PLR0917  what is said has this many sides
    name: str,
    question: BurnQuestion,
    told: WickWindow,
    wicks: Sequence[WickRate],
    without: Sequence[str],
    spoken: Spoken,
) -> None:
    from rich.console import Console
    from rich.padding import Padding

    from rushlight.cli.tables import table, words
    from rushlight.web import heat_burn

    shown = heat_burn.window(told, wicks, question, spoken)
    asked = question.asked
    limit = spoken.temperature(asked.limit)
    said = f"A full pool in {spoken.duration(asked.seconds)}, the wall below {limit}."
    show_answers(f"Wicks worth testing in {name}", [said, told.words[0]], shown["ends"])
    made = table(("Wick", "left"), ("Burns", "right"), ("So it is", "left"))
    for row in shown["wicks"]:
        made.add_row(words(row["name"]), words(row["rate"]), words(row["verdict"]))
    for one in without:
        made.add_row(words(one), words("unknown"), words("not placed"))
    if made.row_count:
        Console(highlight=False).print(Padding(made, (0, 0, 1, 0)))
    for line in CARE:
        say(line)


def shaped(
    name: str,
    question: BurnQuestion,
    told: WickWindow,
    wicks: Sequence[WickRate],
    without: Sequence[str],
) -> Mapping[str, Any]:
    """Return the window as JSON."""
    from rushlight.workshop.heat_keys import number

    ends = {
        f"{end}{part}_g_h": number(getattr(spread, value))
        for end, spread in (("low", told.low), ("high", told.high))
        for part, value in (("", "likely"), ("_from", "low"), ("_to", "high"))
    }
    return {
        "candle": name,
        "burn_s": number(question.asked.seconds),
        "wall_limit_c": number(question.asked.limit - ZERO),
        "room_temperature_c": number(question.asked.place.room - ZERO),
        **ends,
        "empty": told.empty,
        "rates": [
            {"burn_rate_g_h": number(float(rate)), "pool_of_width_percent": number(100 * share),
             "wall_temperature_c": number(wall - ZERO)}
            for rate, share, wall in zip(
                told.rates.tolist(), told.pool_share.tolist(), told.wall.tolist(), strict=True)
        ],
        "wicks": [
            {"name": wick.name, "low_g_h": number(wick.low), "high_g_h": number(wick.high),
             "verdict": told.wicks[wick.name].value}
            for wick in wicks
        ],
        "unknown": list(without),
        "words": list(told.words),
    }  # fmt: skip

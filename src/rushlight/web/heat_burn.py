"""Everything the page of burning shows: answers, curves with spreads, the wick window."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any

from rushlight.heat import burn
from rushlight.heat.wick_window import WickRate, WickWindow
from rushlight.web.drawing.curve import Chart, Level, Line, curve
from rushlight.web.drawing.range import window_range
from rushlight.web.heat_words import (
    HOUR,
    Answer,
    about,
    answer,
    degree_unit,
    degrees,
    grams_per_hour,
    length_unit,
    lengths,
    span,
)
from rushlight.web.say import Say
from rushlight.workshop.heats import BurnQuestion, BurnStudy

TABLE_ROWS = 8
HOTTER = 2.0  # a later burn this much hotter than the first is worth saying [K]
WALL_WORDS = "the limit you set"


def said(study: BurnStudy, question: BurnQuestion, say: Say) -> list[str]:
    """Return in words what the first burn and the life come to, the pool first."""
    f, life = study.first.figures, study.life

    def length(metres: float) -> str:
        return say.length(round(metres, 3))

    joined = getattr(f, "joined_at", 0.0)
    if isfinite(f.full_at):
        found = [f"Full melt pool after {about(say, f.full_at)}."]
    else:
        found = [f"No full melt pool in this burn: {100 * f.pool_share:.0f} % of the inner width."]
        if f.hang > burn.HUNG and f.pool_share < burn.NARROW:
            found.append(f"It tunnels: wax stands {length(f.hang)} above the pool at the wall.")
    if not isfinite(joined):
        found.append("The pools of the wicks do not join.")
    elif joined > 0:
        found.append(f"The pools of the wicks join after {about(say, joined)}.")
    if f.depth > burn.DEEP:
        found.append(f"The pool is deep, {length(f.depth)}: a sign of too much wick.")
    if f.flame > burn.TALLEST:
        found.append(f"A tall flame, {length(f.flame)}: a sign of too much wick.")
    found.append(
        f"The {question.burning.material} reaches about {say.temperature(f.wall)}, "
        f"{length(f.wall_height)} above the inner base."
    )
    found += _later(study, question, say)
    hours = f"About {life.hours.likely / HOUR:.0f} h of burning"
    found.append(f"{hours} in {say.plural(life.sessions, 'burn')}.")
    if life.hang > burn.HUNG:
        found.append(f"Wax hangs up: {1000 * life.stranded:.0f} g is left on the wall at the end.")
    return found


def _later(study: BurnStudy, question: BurnQuestion, say: Say) -> list[str]:
    """Return what is to be said of the wall in later burns, and beside its limit."""
    first, walls = study.first.figures.wall, study.life.wall
    most = max([first, *walls.tolist()])
    found = []
    if most > first + HOTTER:
        number = int(walls.argmax()) + 1
        found.append(f"Later burns are hotter: {say.temperature(most)} in burn {number}.")
    if most > question.asked.limit:
        found.append("That is above the limit set for the wall.")
    return found


def answers(study: BurnStudy, say: Say) -> list[Answer]:
    """Return the answers with their spreads."""
    first, life = study.first, study.life
    f, spreads = first.figures, first.spreads

    def length(metres: float) -> str:
        return say.length(round(metres, 3))

    found = [
        answer("Full melt pool after", spreads["full_at"], lambda v: about(say, v)),
        answer("Pool at the end of the burn", spreads["pool"], length,
               note=f"{100 * min(f.pool_share, 1.0):.0f} % of the inner width"),
        answer("Depth of the pool", spreads["depth"], length),
        answer("Hottest place of the wall", spreads["wall"], say.temperature,
               note=f"{length(f.wall_height)} above the inner base, "
                    f"after {about(say, f.wall_at)}"),
        answer("Height of the flame", spreads["flame"], length),
        answer("Wax left after this burn", spreads["left"], lambda v: f"{1000 * v:.0f} g"
               if say.pref.mass == "g" else say.mass(v)),
        answer("Wax standing above the pool", spreads["hang"], length),
        answer("Burns altogether", life.hours, lambda v: f"{v / HOUR:.0f} h",
               note=f"in {say.plural(life.sessions, 'burn')}"),
    ]  # fmt: skip
    if life.stranded > 0.001:  # noqa: PLR2004 -- less than a gram is nothing
        found.append(Answer("Left on the wall at the end", f"{1000 * life.stranded:.0f} g", ""))
    return found


def charts(study: BurnStudy, question: BurnQuestion, say: Say) -> dict[str, Any]:
    """Return the curves of the first burn and of the life."""
    pref, first = say.pref, study.first
    hours = [0.0, *(float(t) / HOUR for t in first.times)]

    def row(values: Any, start: float) -> list[float]:
        return [start, *(lengths(float(v), pref) for v in values)]

    def warm(values: Any) -> list[float]:
        room = degrees(question.burning.place.room, pref)
        return [room, *(degrees(float(v), pref) for v in values)]

    mouth = float(question.burning.profile.diameter_at(question.burning.fill))  # type: ignore[arg-type]
    unit, degree = length_unit(pref), degree_unit(pref)
    limit = question.asked.limit
    sessions = [float(i + 1) for i in range(len(study.life.wall))]
    found = {
        "pool": curve(Chart(
            "Diameter of the melt pool against time", hours,
            [Line("", row(first.pool, 0.0), row(first.pool_low, 0.0), row(first.pool_high, 0.0))],
            "hours", unit, "after lighting", least=0.0,
            levels=[Level("inner width", lengths(mouth, pref))])),
        "depth": curve(Chart(
            "Depth of the melt pool against time", hours, [Line("", row(first.depth, 0.0))],
            "hours", unit, "after lighting", least=0.0)),
        "wall": curve(Chart(
            "Hottest place of the wall against time", hours,
            [Line("", warm(first.wall), warm(first.wall_low), warm(first.wall_high))],
            "hours", degree, "after lighting",
            levels=[Level(WALL_WORDS, degrees(limit, pref))])),
    }  # fmt: skip
    if len(sessions) > 1:
        found["life"] = curve(Chart(
            "Hottest place of the wall in each burn", sessions,
            [Line("", [degrees(float(k), pref) for k in study.life.wall])], "burn", degree,
            "", levels=[Level(WALL_WORDS, degrees(limit, pref))]))  # fmt: skip
    return found


def course(study: BurnStudy, say: Say) -> list[dict[str, str]]:
    """Return rows of the table of the first burn."""
    first = study.first
    every = max(1, -(-len(first.times) // TABLE_ROWS))
    chosen = range(every - 1, len(first.times), every)

    def length(metres: float) -> str:
        return say.length(round(float(metres), 3))

    return [
        {
            "when": about(say, float(first.times[i])),
            "pool": length(first.pool[i]),
            "pool_between": span(length(first.pool_low[i]), length(first.pool_high[i])),
            "depth": length(first.depth[i]),
            "wall": say.temperature(float(first.wall[i])),
            "wall_between": span(
                say.temperature(float(first.wall_low[i])),
                say.temperature(float(first.wall_high[i])),
            ),
        }
        for i in chosen
    ]


def life_rows(study: BurnStudy, say: Say) -> list[dict[str, str]]:
    """Return rows of the table of the life, one a burn."""
    return [
        {
            "burn": str(number),
            "wall": say.temperature(float(wall)),
            "share": f"{100 * min(float(share), 1.0):.0f} %",
        }
        for number, (wall, share) in enumerate(
            zip(study.life.wall, study.life.pool_share, strict=True), 1
        )
    ]


def window(
    found: WickWindow, wicks: Sequence[WickRate], question: BurnQuestion, say: Say
) -> dict[str, Any]:
    """Return the wick window: as a range, its two ends, the wicks in words, the rates."""
    pref = say.pref

    def rate(value: float) -> str:
        return grams_per_hour(value, pref)

    top = float(found.rates[-1])
    high = answer("Wall at its limit from", found.high, rate)
    if isfinite(found.high.likely) and found.high.likely >= top:
        high = Answer(high.name, f"beyond {rate(top)}", high.between, "the highest rate tried")
    word = "guessed" if question.guessed else "burnt above"
    ends = [answer("Full pool in time from", found.low, rate), high]
    listed = sorted(wicks, key=lambda wick: wick.low)
    return {
        "drawn": window_range(found, listed, now=(question.rate, word)),
        "ends": ends,
        "words": found.words,
        "wicks": [
            {
                "name": wick.name,
                "rate": rate(wick.low) if wick.low == wick.high
                else f"{rate(wick.low)} to {rate(wick.high)}",
                "verdict": found.wicks[wick.name].value,
            }
            for wick in listed
        ],
        "rates": [
            {"rate": rate(float(r)), "share": f"{100 * min(float(s), 1.0):.0f} %",
             "wall": say.temperature(float(w))}
            for r, s, w in zip(found.rates, found.pool_share, found.wall, strict=True)
        ],
    }  # fmt: skip

"""Everything the page of setting shows: answers, curves, tables, one moment of the section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

import numpy as np
from markupsafe import Markup

from rushlight.candle.parts import Vessel
from rushlight.heat.set import NOTABLE, SetForecast
from rushlight.heat.setting import Setting
from rushlight.quantity.show import Preference
from rushlight.web.drawing.curve import Chart, Line, curve
from rushlight.web.drawing.field import Array, Scale, ramp, section
from rushlight.web.heat_words import (
    HOUR,
    MINUTE,
    Answer,
    about,
    answer,
    degree_unit,
    degrees,
)
from rushlight.web.say import Say
from rushlight.workshop.heats import Curve

STEPS = (2, 5, 10, 15, 20, 30, 60, 120)  # between moments [min]
MOST_MOMENTS = 36
TABLE_ROWS = 9
AFTER = 1.15  # of the time until it may be moved


@dataclass(frozen=True, slots=True)
class Subject:
    """A setting with its forecast; name: which of the two it is."""

    name: str
    setting: Setting
    forecast: SetForecast


def moments(subjects: Sequence[Subject]) -> list[float]:
    """Return the times [s] that can be looked at, from the pour until all may be moved."""
    last = max(map(_end, subjects))
    step = next((m for m in STEPS if last <= m * MINUTE * MOST_MOMENTS), STEPS[-1]) * MINUTE
    return [step * i for i in range(int(np.ceil(last / step)) + 1)]


def _end(subject: Subject) -> float:
    """Return until when a setting is worth looking at [s]: a little beyond its being movable."""
    times, movable = subject.forecast.frames.times, subject.forecast.figures.movable
    return min(float(times[-1]), AFTER * movable) if isfinite(movable) else float(times[-1])


def _shown(subject: Subject) -> int:
    """Return how many frames lie within that time."""
    return int(np.searchsorted(subject.forecast.frames.times, _end(subject), side="right"))


def scale_of(subjects: Sequence[Subject]) -> Scale:
    """Return one scale of temperatures for all."""
    low = min(s.setting.place.room for s in subjects)
    return Scale(low, max(s.setting.pour for s in subjects))


def _frame_at(subject: Subject, seconds: float) -> int:
    times = subject.forecast.frames.times
    return int(np.abs(times - seconds).argmin())


def _liquid(subject: Subject) -> Array:
    """Return the share of the wax that is liquid [1] at every frame."""
    frames = subject.forecast.frames
    weight = np.maximum(frames.radius, 1e-6) * np.isfinite(frames.liquid[0])
    return np.asarray(np.nansum(frames.liquid * weight, axis=(1, 2)) / weight.sum())


def _state(subject: Subject, seconds: float) -> str:
    """Return in words how far it has set."""
    f = subject.forecast.figures
    if isfinite(f.movable) and seconds >= f.movable:
        return "may be moved"
    if isfinite(f.whole) and seconds >= f.whole:
        return "wholly set"
    if isfinite(f.closes) and seconds >= f.closes:
        return "closed over, still liquid within"
    if isfinite(f.skin) and seconds >= f.skin:
        return "skinned over"
    return "liquid at the surface"


def moment(
    vessel: Vessel, subjects: Sequence[Subject], at: int, clock: Sequence[float], say: Say
) -> dict[str, Any]:
    """Return what a moment shows: a drawing and words for each subject."""
    number = min(max(at, 0), len(clock) - 1)
    seconds = clock[number]
    scale = scale_of(subjects)
    when = "at the pour" if seconds == 0 else f"after {say.duration(seconds)}"
    drawn = []
    for mark, subject in zip("ab", subjects, strict=False):
        n = _frame_at(subject, seconds)
        frames = subject.forecast.frames
        share = float(_liquid(subject)[n])
        warmest = float(np.nanmax(frames.temperature[n]))
        words = (
            f"{_state(subject, seconds)}; {100 * share:.0f} % of the wax is liquid, "
            f"the warmest at {say.temperature(warmest)}"
        )
        said = f"Section {when}: {words}"
        if len(subjects) > 1:
            said = f"{subject.name}. {said}"
        ended = seconds >= subject.forecast.figures.whole
        picture = section(
            vessel, frames, n, scale,
            surface=subject.forecast.surface if ended else None, says=said, mark=mark,
        )  # fmt: skip
        drawn.append({"name": subject.name, "picture": picture, "words": words})
    return {"number": number, "last": len(clock) - 1, "when": when, "seconds": seconds,
            "drawn": drawn, "ramp": ramp(scale, say.pref)}  # fmt: skip


def answers(subject: Subject, say: Say) -> list[Answer]:
    """Return the answers with their spreads."""
    forecast = subject.forecast
    f, spreads = forecast.figures, forecast.spreads

    def time(seconds: float) -> str:
        return about(say, seconds)

    def mass(kg: float) -> str:
        return f"{1000 * kg:.0f} g" if say.pref.mass == "g" else say.mass(kg)

    found = [
        answer("The surface skins over", spreads["skin"], time),
        answer("It is closed over", spreads["closes"], time),
        answer("It is wholly set", spreads["whole"], time),
        answer("It may be moved", spreads["movable"], time),
        answer("Liquid enclosed when it closes", spreads["enclosed"], mass),
        answer("Hollow left inside", spreads["cavity"], lambda v: f"{1e6 * v:.1f} ml"),
        answer("The surface dips by", spreads["dip"], lambda v: say.length(round(v, 4))),
        answer("Cooling at the wall as it freezes", spreads["wall_rate"], _rate(say.pref)),
    ]
    if f.relief > 0:
        warm = f"at about {say.temperature(forecast.relief_pour)}"
        found += [
            answer("Relief pour, if one is needed", spreads["relief"], mass, note=warm),
            answer("Relief pour is due", spreads["relief_at"], time),
        ]
    return found


def said(subject: Subject, say: Say) -> list[str]:
    """Return the tendencies and the place that freezes last, in words."""
    f = subject.forecast.figures
    where = f"It freezes last {say.length(round(f.last_height, 3))} above the inner base"
    where += (
        f", {say.length(round(f.last_radius, 3))} from the middle."
        if f.last_radius > 0.002  # noqa: PLR2004 -- within 2 mm it is the middle
        else ", in the middle."
    )
    return [*subject.forecast.words[1:-1], where]


def _rate(pref: Preference) -> Any:
    def said(kelvin: float) -> str:
        factor = 1.8 if pref.temperature == "F" else 1.0
        return f"{kelvin * factor:.2f} {degree_unit(pref)} a minute"

    return said


def chance(forecast: SetForecast) -> str:
    """Return how likely a sinkhole is, in words."""
    return forecast.words[0]


def _traces(subject: Subject) -> dict[str, Array]:
    """Return the temperatures [K] at three places, frame by frame."""
    frames, f = subject.forecast.frames, subject.forecast.figures
    rows = frames.temperature.shape[1]
    row = int(np.abs(frames.height - f.last_height).argmin())
    middle_row = rows // 2
    many = _shown(subject)
    wall = int(np.flatnonzero(np.isfinite(frames.temperature[0, middle_row]))[-1])
    return {
        "middle": frames.temperature[:many, row, 0],
        "surface": frames.temperature[:many, -1, 0],
        "wall": frames.temperature[:many, middle_row, wall],
    }


def _hours(subject: Subject) -> list[float]:
    return [float(t) / HOUR for t in subject.forecast.frames.times[: _shown(subject)]]


def charts(subjects: Sequence[Subject], say: Say, at: float) -> list[tuple[str, Markup]]:
    """Return the curves: temperatures and what is still liquid; at [s]: the moment shown."""
    pref, first = say.pref, subjects[0]
    solidus = degrees(first.setting.wax.congealing().solidus, pref)
    liquidus = degrees(first.setting.wax.congealing().liquidus, pref)
    kinds = ("main", "second", "third")
    hours = _hours(first)
    if len(subjects) == 1:
        warm = [
            Line(name, [degrees(float(k), pref) for k in trace], kind=kind)
            for (name, trace), kind in zip(_traces(first).items(), kinds, strict=True)
        ]
        wet = [Line("", [100 * float(v) for v in _liquid(first)[: _shown(first)]])]
    else:
        hours = max((_hours(s) for s in subjects), key=lambda h: h[-1])
        warm = [
            Line(s.name, _on(hours, _hours(s), [degrees(float(k), pref) for k in
                 _traces(s)["middle"]]), kind=kind)
            for s, kind in zip(subjects, kinds, strict=False)
        ]  # fmt: skip
        wet = [
            Line(
                s.name,
                _on(hours, _hours(s), [100 * float(v) for v in _liquid(s)[: _shown(s)]]),
                kind=kind,
            )
            for s, kind in zip(subjects, kinds, strict=False)
        ]
    what = "Temperature in the middle" if len(subjects) > 1 else "Temperature"
    mark = (at / HOUR, "")
    return [
        (what, curve(Chart(
            f"{what} against time", hours, warm, "hours", degree_unit(pref), "after the pour",
            mark=mark, band=(solidus, liquidus, "freezing"), moving=True))),
        ("Still liquid", curve(Chart(
            "Share of the wax still liquid against time", hours, wet, "hours", "%",
            "after the pour", mark=mark, least=0.0, most=100.0, moving=True))),
    ]  # fmt: skip


def _on(hours: Sequence[float], own: Sequence[float], values: Sequence[float]) -> list[float]:
    """Return values at other times; after the end of the run the last one holds."""
    return [float(v) for v in np.interp(hours, own, values)]


def course(subjects: Sequence[Subject], clock: Sequence[float], say: Say) -> list[dict[str, Any]]:
    """Return rows of the table: times, and for each subject its temperatures and liquid share."""
    every = max(1, -(-len(clock) // TABLE_ROWS))
    rows = []
    for seconds in clock[::every]:
        cells = []
        for subject in subjects:
            n = min(_frame_at(subject, seconds), _shown(subject) - 1)
            traces = _traces(subject)
            cells += [say.temperature(float(traces[k][n])) for k in ("middle", "surface", "wall")]
            cells.append(f"{100 * float(_liquid(subject)[n]):.0f} %")
        rows.append({"when": say.duration(seconds) if seconds else "the pour", "cells": cells})
    return rows


def advice(found: Curve, pour: float, say: Say) -> dict[str, Any]:
    """Return the advice on the pour temperature: two curves and their table."""
    pref = say.pref
    warm = [degrees(t, pref) for t in found.pours]
    mark = (degrees(pour, pref), "yours")

    def line(key: str, factor: float) -> Line:
        spreads = [f.spreads[key] for f in found.forecasts]
        return Line(
            "",
            [factor * s.likely for s in spreads],
            [factor * s.low for s in spreads],
            [factor * s.high for s in spreads],
        )

    step = 1.8 if pref.temperature == "F" else 1.0
    unit = degree_unit(pref)
    hollow = curve(Chart("Hollow left inside against pour temperature", warm,
                         [line("cavity_share", 100.0)], unit, "% of the wax", "poured at",
                         mark=mark, least=0.0))  # fmt: skip
    wall = curve(Chart("Cooling at the wall against pour temperature", warm,
                       [line("wall_rate", step)], unit, f"{unit} a minute", "poured at",
                       mark=mark, least=0.0))  # fmt: skip
    rows = []
    for kelvin, forecast in zip(found.pours, found.forecasts, strict=True):
        s = forecast.spreads
        rows.append(
            {
                "pour": say.temperature(kelvin),
                "whole": answer("", s["whole"], lambda v: about(say, v)),
                "hollow": answer("", s["cavity_share"], lambda v: f"{100 * v:.1f} %"),
                "chance": f"{100 * forecast.sinkhole:.0f} %",
                "wall": answer("", s["wall_rate"], lambda v: f"{v * step:.2f}"),
            }
        )
    return {"hollow": hollow, "wall": wall, "rows": rows, "notable": f"{100 * NOTABLE:.0f} %",
            "unit": unit}  # fmt: skip

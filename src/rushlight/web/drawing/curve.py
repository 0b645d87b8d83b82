"""Curves over one another: a line, its spread, a band that means something, a mark."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import isfinite

from markupsafe import Markup

from rushlight.web.drawing.apart import apart, steps
from rushlight.web.drawing.svg import Point, el, line, path, text

WIDTH, HEIGHT = 480.0, 300.0
LEFT, RIGHT, TOP, FLOOR = 62.0, 16.0, 30.0, 252.0
NAMES = 104.0  # room at the right for the names of several lines
POINTS = 90  # along a line; more cannot be seen
PIECES = 5


@dataclass(frozen=True, slots=True)
class Line:
    """A line: name, values at the chart's places, and its spread where it has one.

    kind: "main", "second" or "third", the weight it is drawn in.
    """

    name: str
    values: Sequence[float]
    low: Sequence[float] | None = None
    high: Sequence[float] | None = None
    kind: str = "main"


@dataclass(frozen=True, slots=True)
class Level:
    """A value drawn across the chart, with its name."""

    name: str
    value: float


@dataclass(frozen=True, slots=True)
class Chart:
    """Lines over places; x and y are in the units said, as the maker reads them.

    mark: a place drawn as an upright line, with its word. band: from and to on the
    upright scale, drawn as a tint, with its word.
    """

    says: str
    places: Sequence[float]
    lines: Sequence[Line]
    x_unit: str
    y_unit: str
    x_name: str = ""
    mark: tuple[float, str] | None = None
    band: tuple[float, float, str] | None = None
    levels: Sequence[Level] = field(default=())
    least: float | None = None
    most: float | None = None
    moving: bool = False  # whether a script moves the mark with the scrubber


class _Axes:
    def __init__(self, chart: Chart) -> None:
        values = [
            v
            for one in chart.lines
            for row in (one.values, one.low or (), one.high or ())
            for v in row
            if isfinite(v)
        ]
        values += [level.value for level in chart.levels]
        values += list(chart.band[:2]) if chart.band else []
        low = min(values, default=0.0) if chart.least is None else chart.least
        high = max(values, default=1.0) if chart.most is None else chart.most
        room = 0.06 * (high - low) or 0.5
        self.low = low if chart.least is not None else low - room
        self.high = high if chart.most is not None else high + room
        self.start, self.end = float(chart.places[0]), float(chart.places[-1])
        several = len(chart.lines) > 1
        self.right = WIDTH - (NAMES if several else RIGHT)

    def at(self, x: float, y: float) -> Point:
        along = (x - self.start) / ((self.end - self.start) or 1.0)
        up = (y - self.low) / ((self.high - self.low) or 1.0)
        drawn = FLOOR - (FLOOR - TOP) * up
        return LEFT + (self.right - LEFT) * along, min(max(drawn, TOP), FLOOR)


def _figure(value: float) -> str:
    return f"{round(value, 6):g}".replace("-", "−")


def _grid(axes: _Axes, chart: Chart) -> list[Markup]:
    drawn = [
        line((LEFT, FLOOR), (axes.right, FLOOR), "c-axis"),
        line((LEFT, TOP), (LEFT, FLOOR), "c-axis"),
        text((LEFT - 6, TOP - 12), chart.y_unit, "g-unit", "start"),
    ]
    for value in steps(axes.low, axes.high, PIECES):
        y = axes.at(axes.start, value)[1]
        drawn.append(line((LEFT, y), (axes.right, y), "g-rule"))
        drawn.append(text((LEFT - 8, y + 5), _figure(value), "g-figure", "end"))
    last = steps(axes.start, axes.end, PIECES)
    for value in last:
        x = axes.at(value, axes.low)[0]
        drawn.append(line((x, FLOOR), (x, FLOOR + 5), "c-axis"))
        drawn.append(text((x, FLOOR + 22), _figure(value), "g-figure", "middle"))
    words = f"{chart.x_name}, {chart.x_unit}" if chart.x_name else chart.x_unit
    drawn.append(text((axes.right, FLOOR + 42), words, "g-unit", "end"))
    return drawn


def _runs(axes: _Axes, places: Sequence[float], values: Sequence[float]) -> list[list[Point]]:
    """Return the points of a line in unbroken runs: what does not come about leaves a gap."""
    found: list[list[Point]] = [[]]
    every = max(1, len(places) // POINTS)
    chosen = sorted({*range(0, len(places), every), len(places) - 1})
    for i in chosen:
        if isfinite(values[i]):
            found[-1].append(axes.at(float(places[i]), float(values[i])))
        elif found[-1]:
            found.append([])
    return [run for run in found if run]


def _spread(axes: _Axes, places: Sequence[float], one: Line) -> list[Markup]:
    if one.low is None or one.high is None:
        return []
    kept = [i for i in range(len(places)) if isfinite(one.low[i]) and isfinite(one.high[i])]
    every = max(1, len(kept) // POINTS)
    chosen = sorted({*kept[::every], *kept[-1:]})
    if len(chosen) < 2:  # noqa: PLR2004 -- a band needs two ends
        return []
    above = [axes.at(float(places[i]), float(one.high[i])) for i in chosen]
    below = [axes.at(float(places[i]), float(one.low[i])) for i in reversed(chosen)]
    return [el("path", d=path([*above, *below], closed=True), class_="c-spread")]


def _names(axes: _Axes, chart: Chart) -> list[Markup]:
    ends = []
    for one in chart.lines:
        shown = [v for v in one.values if isfinite(v)]
        if shown:
            ends.append((axes.at(axes.end, shown[-1])[1], one))
    ends.sort(key=lambda end: end[0])
    places = apart([y for y, _ in ends], 20.0, TOP, FLOOR)
    drawn = []
    for (y, one), at in zip(ends, places, strict=True):
        drawn.append(line((axes.right, y), (axes.right + 8, at), "n-lead"))
        drawn.append(text((axes.right + 12, at + 5), one.name, f"g-name {one.kind}"))
    return drawn


def _band(axes: _Axes, band: tuple[float, float, str]) -> list[Markup]:
    low, high, words = band
    top, bottom = axes.at(axes.start, high)[1], axes.at(axes.start, low)[1]
    box = el("rect", x=LEFT, y=top, width=axes.right - LEFT, height=max(bottom - top, 1.0),
             class_="c-band")  # fmt: skip
    return [box, text((axes.right - 6, top + 16), words, "g-words", "end")]


def curve(chart: Chart) -> Markup:
    """Return the chart; its figures stand in a table beside it."""
    axes = _Axes(chart)
    drawn = _band(axes, chart.band) if chart.band else []
    for one in chart.lines:
        drawn += _spread(axes, chart.places, one)
    drawn += _grid(axes, chart)
    for level in chart.levels:
        y = axes.at(axes.start, level.value)[1]
        drawn.append(line((LEFT, y), (axes.right, y), "g-level"))
        drawn.append(text((LEFT + 8, y - 6), level.name, "g-words"))
    for one in chart.lines:
        for run in _runs(axes, chart.places, one.values):
            drawn.append(el("path", d=path(run), class_=f"g-line {one.kind}"))
            if len(run) == 1:
                drawn.append(el("circle", cx=run[0][0], cy=run[0][1], r=4.0, class_="n-dot"))
    if chart.mark is not None and axes.start <= chart.mark[0] <= axes.end:
        x = axes.at(chart.mark[0], axes.low)[0]
        drawn.append(line((x, TOP), (x, FLOOR), "g-mark"))
        anchor = "end" if x > (LEFT + axes.right) / 2 else "start"
        shift = -8 if anchor == "end" else 8
        drawn.append(text((x + shift, TOP + 14), chart.mark[1], "g-here", anchor))
    if len(chart.lines) > 1:
        drawn += _names(axes, chart)
    moving = {"data_from": axes.start, "data_to": axes.end, "data_left": LEFT,
              "data_right": axes.right} if chart.moving else {}  # fmt: skip
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        class_="curve",
        role="img",
        aria_label=f"{chart.says}; the figures are in the table.",
        **moving,
    )

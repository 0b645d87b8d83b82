"""The pot cooling: curve, spread, the pour window as a band, her readings as dots."""

from __future__ import annotations

from datetime import timedelta

from markupsafe import Markup

from rushlight.candle.parts import Window
from rushlight.quantity import show
from rushlight.quantity.si import Kelvin
from rushlight.web.drawing.svg import Point, el, line, path, text
from rushlight.workshop.pours import PotClock, Reading

WIDTH, HEIGHT = 480.0, 300.0
LEFT, RIGHT, TOP, FLOOR = 64.0, 16.0, 14.0, 262.0
POINTS = 80  # along the curve; more cannot be seen


class _Axes:
    def __init__(self, clock: PotClock, window: Window) -> None:
        f = clock.forecast
        self.span = float(f.times[-1]) or 1.0
        self.low = min(float(f.temps.min()), window.low) - 2
        self.high = max(float(f.temps.max()), window.high) + 2

    def at(self, seconds: float, kelvin: float) -> Point:
        x = LEFT + (WIDTH - LEFT - RIGHT) * seconds / self.span
        y = FLOOR - (FLOOR - TOP) * (kelvin - self.low) / (self.high - self.low)
        return x, min(max(y, TOP), FLOOR)


def cooling(
    clock: PotClock, window: Window, readings: tuple[Reading, ...], pref: show.Preference
) -> Markup:
    """Return the plot; its figures stand in the table beside it."""
    axes, f = _Axes(clock, window), clock.forecast
    step = max(1, len(f.times) // POINTS)
    at = list(range(0, len(f.times), step))
    curve = [axes.at(float(f.times[i]), float(f.temps[i])) for i in at]
    above = [axes.at(float(f.times[i]), float(f.high[i])) for i in at]
    below = [axes.at(float(f.times[i]), float(f.low[i])) for i in reversed(at)]
    left, top = axes.at(0, window.high)
    right, bottom = axes.at(axes.span, window.low)
    drawn = [
        el(
            "rect",
            x=left,
            y=top,
            width=right - left,
            height=max(bottom - top, 1.0),
            class_="c-band",
        ),
        el("path", d=path([*above, *below], closed=True), class_="c-spread"),
        el("path", d=path(curve), class_="c-curve"),
        line((LEFT, FLOOR), (WIDTH - RIGHT, FLOOR), "c-axis"),
        line((LEFT, TOP), (LEFT, FLOOR), "c-axis"),
    ]
    for reading in readings:
        since = (reading.at - clock.origin).total_seconds()
        if 0 <= since <= axes.span:
            x, y = axes.at(since, reading.temperature)
            drawn.append(el("circle", cx=x, cy=y, r=5.0, class_="c-read"))
    drawn.extend(
        text(
            (LEFT - 6, axes.at(0, level)[1] + 5),
            show.temperature(Kelvin(level), pref),
            "c-words",
            "end",
        )
        for level in (window.high, window.low)
    )
    for share in (0.0, 0.5, 1.0):
        moment = clock.origin + timedelta(seconds=share * axes.span)
        anchor = ("start", "middle", "end")[int(share * 2)]
        place = (axes.at(share * axes.span, axes.low)[0], FLOOR + 24)
        drawn.append(text(place, f"{moment:%H:%M}", "c-words", anchor))
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        class_="cooling",
        role="img",
        aria_label="The pot cooling towards the pour window; figures in the table below.",
    )

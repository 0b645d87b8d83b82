"""The heat windows of the day on one temperature scale."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from rushlight.candle.parts import Window
from rushlight.candle.sheet import Windows
from rushlight.quantity import show
from rushlight.quantity.si import Kelvin
from rushlight.web.drawing.svg import el, line, text

WIDTH, LEFT, RIGHT = 460.0, 34.0, 34.0
ROW, WORDS, BAND, HEAD = 58.0, 22.0, 20.0, 26.0
SPARE = 6.0  # kelvin beyond the outermost mark


@dataclass(frozen=True, slots=True)
class _Scale:
    low: float
    high: float

    def x(self, temperature: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (temperature - self.low) / (self.high - self.low)


def _row(scale: _Scale, y: float, name: str, window: Window, pref: show.Preference) -> Markup:
    low, high, aim = scale.x(window.low), scale.x(window.high), scale.x(window.aim)
    left = min(low, WIDTH - 190)
    words = el(
        "text",
        el("tspan", f"{name} ", class_="t-words"),
        el("tspan", show.temperature(window.aim, pref), class_="t-figure"),
        x=left,
        y=y + 14,
    )
    band = el("rect", x=low, y=y + WORDS, width=max(high - low, 2.0), height=BAND, class_="t-band")
    return el("g", words, band, line((aim, y + WORDS - 3), (aim, y + WORDS + BAND + 3), "t-aim"))


def _flash(windows: Windows, scale: _Scale, floor: float) -> list[Markup]:
    if windows.lowest_flash is None:
        return []
    x = scale.x(windows.lowest_flash)
    return [
        line((x, HEAD - 6), (x, floor), "t-flash"),
        text((x + 26, HEAD - 10), "flash point", "t-words", "end"),
    ]


def strip(windows: Windows, pref: show.Preference) -> Markup:
    """Return melt, fragrance and pour windows as bands, the aim marked, the flash point dashed."""
    named = (
        ("Melt and hold", windows.melt),
        ("Add fragrance", windows.add),
        ("Pour", windows.pour),
    )
    ends = [t for _, w in named for t in (w.low, w.high)]
    if windows.lowest_flash is not None:
        ends.append(windows.lowest_flash)
    scale = _Scale(min(ends) - SPARE, max(ends) + SPARE)
    rows = [_row(scale, HEAD + i * ROW, n, w, pref) for i, (n, w) in enumerate(named)]
    floor = HEAD + len(named) * ROW
    height = floor + 30
    drawn = [
        *_flash(windows, scale, floor),
        *rows,
        line((LEFT, floor), (WIDTH - RIGHT, floor), "t-axis"),
    ]
    for temperature in (Kelvin(scale.low + SPARE), Kelvin(scale.high - SPARE)):
        x = scale.x(temperature)
        drawn.append(line((x, floor - 4), (x, floor + 4), "t-mark"))
        drawn.append(
            text((x, floor + 22), show.temperature(temperature, pref), "t-figure", "middle")
        )
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {height:.0f}",
        role="img",
        aria_label="Heat windows on one temperature scale; the figures are in the table.",
    )

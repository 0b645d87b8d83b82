"""The steps of the day laid over one temperature scale, in the maker's unit."""

from __future__ import annotations

from math import ceil, floor

from rushlight.candle.parts import Window
from rushlight.candle.sheet import Windows
from rushlight.press.pour_sheet import Band, Heat, Step, Tick
from rushlight.quantity import show
from rushlight.quantity.show import Preference
from rushlight.quantity.si import Kelvin

FAR = 35.0
"""A flash point further than this from every window [K] is told in words alone, so
that it does not squeeze the windows together."""
_MOST_TICKS = 9
_STEPS = {"C": (5, 10, 20, 50), "F": (10, 20, 50, 100)}


def heat(windows: Windows, pref: Preference, *, cured: str, scented: bool = True) -> Heat:
    """Return the steps of the day.

    cured: the day on which the cure is over, as text. scented: whether there is any
    fragrance to add; without it there is no such step.
    """
    warm = (windows.melt, *((windows.add,) if scented else ()), windows.pour)
    ends = [end for window in warm for end in (window.low, window.high)]
    flash = windows.lowest_flash
    if flash is not None and min(ends) - FAR <= flash <= max(ends) + FAR:
        ends.append(flash)
    else:
        flash = None
    scale = _Scale(min(ends), max(ends), pref)

    def step(name: str, window: Window) -> Step:
        return Step(
            name,
            show.temperature(window.aim, pref),
            show.temperature_window(window, pref),
            Band(scale.at(window.low), scale.at(window.aim), scale.at(window.high)),
        )

    return Heat(
        steps=(
            step("Melt and hold", windows.melt),
            *((step("Add fragrance", windows.add),) if scented else ()),
            Step("Stir", show.duration(windows.stir.aim), show.duration_span(windows.stir)),
            step("Pour", windows.pour),
            Step("Cure until", cured, show.duration_span(windows.cure)),
        ),
        ticks=scale.ticks(),
        flash=None
        if flash is None
        else Tick(scale.at(flash), f"flash point {show.temperature(flash, pref)}"),
    )


class _Scale:
    """A temperature scale from one round figure to another, on the maker's thermometer."""

    def __init__(self, low: float, high: float, pref: Preference) -> None:
        self._unit = pref.temperature
        first, last = self._figure(low), self._figure(high)
        for step in _STEPS[self._unit]:
            self._first = floor((first - 1) / step) * step
            self._last = ceil((last + 1) / step) * step
            self._step = step
            if (self._last - self._first) / step < _MOST_TICKS:
                break

    def _figure(self, kelvin: float) -> float:
        return kelvin - 273.15 if self._unit == "C" else kelvin * 1.8 - 459.67

    def at(self, kelvin: Kelvin) -> float:
        """Return where a temperature lies: 0 at the left end, 1 at the right."""
        return (self._figure(kelvin) - self._first) / (self._last - self._first)

    def ticks(self) -> tuple[Tick, ...]:
        """Return the marks of the scale."""
        width = self._last - self._first
        return tuple(
            Tick((figure - self._first) / width, f"{figure} °{self._unit}")
            for figure in range(self._first, self._last + 1, self._step)
        )

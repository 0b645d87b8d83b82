"""The wick window: burn rates as a scale, the range worth testing, the maker's wicks on it."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from markupsafe import Markup

from rushlight.heat.ensemble import Spread
from rushlight.heat.wick_window import WickRate, WickWindow
from rushlight.web.drawing.apart import steps
from rushlight.web.drawing.svg import el, line, text

WIDTH, LEFT, RIGHT = 480.0, 20.0, 20.0
HEAD, BAND, ROW, DOUBT = 44.0, 30.0, 40.0, 8.0
LONGEST = 34  # characters of a wick's name; the table has it whole


class _Scale:
    def __init__(self, window: WickWindow, wicks: Sequence[WickRate]) -> None:
        ends = [float(window.rates[0]), float(window.rates[-1])]
        ends += [end for wick in wicks for end in (wick.low, wick.high)]
        self.low, self.high = max(0.0, min(ends) - 0.3), min(max(ends) + 0.3, 16.0)

    def x(self, rate: float) -> float:
        share = (rate - self.low) / (self.high - self.low)
        return LEFT + (WIDTH - LEFT - RIGHT) * min(max(share, 0.0), 1.0)


def _doubt(scale: _Scale, spread: Spread) -> Markup:
    """Return the doubt about one end of the window as a bar above it."""
    if not isfinite(spread.low) or not isfinite(spread.high):
        return Markup("")
    left, right = scale.x(spread.low), scale.x(spread.high)
    width = max(right - left, 1.0)
    return el("rect", x=left, y=HEAD - DOUBT, width=width, height=DOUBT, class_="w-doubt")


def _wick(scale: _Scale, wick: WickRate, y: float) -> list[Markup]:
    left, right = scale.x(wick.low), scale.x(wick.high)
    name = wick.name if len(wick.name) <= LONGEST else wick.name[: LONGEST - 1] + "…"
    after = right + 12
    at_end = after + 8.5 * len(name) > WIDTH
    place = (left - 12, y + 5) if at_end else (after, y + 5)
    drawn = [text(place, name, "g-name bare", "end" if at_end else "start")]
    if right - left > 3:  # noqa: PLR2004 -- narrower it reads as a dot
        drawn.append(line((left, y), (right, y), "w-wick"))
    drawn += [el("circle", cx=x, cy=y, r=5.0, class_="w-dot") for x in {left, right}]
    return drawn


def window_range(
    window: WickWindow, wicks: Sequence[WickRate], *, now: tuple[float, str] | None
) -> Markup:
    """Return the window as a drawn range; now: the burn rate forecast above, and its word."""
    scale = _Scale(window, wicks)
    floor = HEAD + BAND + ROW * len(wicks) + 16
    tall = floor - HEAD
    drawn = []
    if not window.empty:
        low, high = scale.x(window.low.likely), scale.x(window.high.likely)
        drawn.append(
            el("rect", x=low, y=HEAD, width=max(high - low, 1.0), height=tall, class_="w-window")
        )
        if high - low > 150:  # noqa: PLR2004 -- room for the words
            drawn.append(
                text(((low + high) / 2, HEAD + 20), "worth testing", "g-words bare", "middle")
            )
        drawn += [line((x, HEAD), (x, floor), "w-end") for x in (low, high)]
    drawn += [_doubt(scale, window.low), _doubt(scale, window.high)]
    drawn.append(line((LEFT, floor), (WIDTH - RIGHT, floor), "c-axis"))
    for rate in steps(scale.low, scale.high, 8):
        x = scale.x(rate)
        drawn.append(line((x, floor), (x, floor + 5), "c-axis"))
        drawn.append(text((x, floor + 22), f"{rate:g}", "g-figure", "middle"))
    drawn.append(text((WIDTH - RIGHT, floor + 42), "grams of wax in an hour", "g-unit", "end"))
    if now is not None:
        x = scale.x(now[0])
        drawn.append(line((x, HEAD - 16), (x, floor), "g-mark"))
        anchor = "end" if x > WIDTH / 2 else "start"
        drawn.append(
            text((x + (-6 if anchor == "end" else 6), HEAD - 22), now[1], "g-here", anchor)
        )
    for number, wick in enumerate(wicks):
        drawn += _wick(scale, wick, HEAD + BAND + ROW * (number + 0.5))
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {floor + 52:.0f}",
        class_="curve",
        role="img",
        aria_label="Burn rates worth testing, with your wicks; the figures are in the table.",
    )

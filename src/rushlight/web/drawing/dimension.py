"""Dimension lines: a measured length between two levels, with its figure."""

from __future__ import annotations

from markupsafe import Markup

from rushlight.web.drawing.svg import el, line, text

TICK = 5.0
ROOM = 22.0  # a figure needs this height to stand between its own ticks


def _tick(x: float, y: float) -> Markup:
    return line((x - TICK, y + TICK), (x + TICK, y - TICK), "d-tick")


def upright(x: float, high: float, low: float, start: float, words: str) -> Markup:
    """Return an upright dimension at x between two levels, with witness lines from `start`."""
    middle = (high + low) / 2 if low - high >= ROOM else high - 6
    figure = text((x + 9, middle + 6), words, "d-figure")
    witness = (line((start, y), (x + TICK, y), "d-witness") for y in (high, low))
    return el(
        "g", *witness, line((x, high), (x, low), "d-dim"), _tick(x, high), _tick(x, low), figure
    )


def across(y: float, left: float, right: float, start: float, words: str) -> Markup:
    """Return a level dimension at y between two x, with witness lines from `start`."""
    figure = text(((left + right) / 2, y - 8), words, "d-figure", "middle")
    witness = (line((x, start), (x, y - TICK), "d-witness") for x in (left, right))
    return el(
        "g",
        *witness,
        line((left, y), (right, y), "d-dim"),
        _tick(left, y),
        _tick(right, y),
        figure,
    )

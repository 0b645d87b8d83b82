"""The jars of a lot as dots against the quantity declared and the limits under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from rushlight.web.drawing.apart import apart, steps
from rushlight.web.drawing.svg import el, line, text

WIDTH, HEIGHT = 480.0, 330.0
LEFT, RIGHT, TOP, FLOOR = 62.0, 118.0, 16.0, 288.0
GRAM = 1e-3  # [kg]
DOT, SMALL, MANY = 5.0, 3.2, 60
PIECES = 5


@dataclass(frozen=True, slots=True)
class Level:
    """A quantity drawn as a line: its name, mass [kg] and class of line."""

    name: str
    mass: float
    kind: str


class _Axes:
    def __init__(self, masses: Sequence[float], levels: Sequence[Level]) -> None:
        ends = [*masses, *(level.mass for level in levels)]
        room = max(max(ends) - min(ends), 1e-4) * 0.08
        self.low, self.high = min(ends) - room, max(ends) + room
        self.count = len(masses)

    def x(self, at: int) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (at + 0.5) / self.count

    def y(self, mass: float) -> float:
        return FLOOR - (FLOOR - TOP) * (mass - self.low) / (self.high - self.low)


def _dots(axes: _Axes, masses: Sequence[float], floor: float) -> list[Markup]:
    """Return a dot for each jar; one under the floor is an open ring with its number."""
    radius = SMALL if len(masses) > MANY else DOT
    drawn = []
    for at, mass in enumerate(masses):
        x, y = axes.x(at), axes.y(mass)
        short = mass < floor
        drawn.append(el("circle", cx=x, cy=y, r=radius, class_="n-short" if short else "n-dot"))
        if short:
            drawn.append(text((x, y - 10), str(at + 1), "n-figure", "middle"))
    return drawn


def lot(masses: Sequence[float], levels: Sequence[Level], *, floor: float) -> Markup:
    """Return the plot; masses in the order weighed [kg].

    floor: a jar below this mass [kg] is drawn as an open ring.
    """
    axes = _Axes(masses, levels)
    drawn = [
        line((LEFT, TOP), (LEFT, FLOOR), "n-axis"),
        line((LEFT, FLOOR), (WIDTH - RIGHT, FLOOR), "n-axis"),
    ]
    for grams in steps(axes.low / GRAM, axes.high / GRAM, PIECES):
        y = axes.y(grams * GRAM)
        drawn += [
            line((LEFT - 5, y), (LEFT, y), "n-axis"),
            text((LEFT - 9, y + 5), f"{grams:g} g", "n-figure", "end"),
        ]
    ordered = sorted(levels, key=lambda level: -level.mass)
    wanted = [axes.y(level.mass) for level in ordered]
    for level, at, y in zip(ordered, wanted, apart(wanted, 21.0, TOP, FLOOR), strict=True):
        drawn += [
            line((LEFT, at), (WIDTH - RIGHT, at), f"n-level {level.kind}"),
            line((WIDTH - RIGHT, at), (WIDTH - RIGHT + 10, y), "n-lead"),
            text((WIDTH - RIGHT + 14, y + 5), level.name, "n-words"),
        ]
    drawn += _dots(axes, masses, floor)
    drawn += [
        text((axes.x(0), FLOOR + 22), "jar 1", "n-figure", "middle" if len(masses) > 1 else "start")
    ]
    if len(masses) > 1:
        last = len(masses) - 1
        drawn.append(text((axes.x(last), FLOOR + 22), f"jar {last + 1}", "n-figure", "middle"))
    return el(
        "svg",
        *drawn,
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        class_="lot",
        role="img",
        aria_label="The jars weighed, against the declared quantity; figures in the table.",
    )

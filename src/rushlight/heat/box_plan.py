"""The plan of a vessel seen from above: round, square with round corners, or oval.

A `Profile` gives the inner width at each height; the plan says what shape has that width.
The shape keeps its proportions up the vessel, so that a tapered square stays one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rushlight.errors import Problems
from rushlight.heat.enthalpy import Array

POINTS = 720  # of the outline; a multiple of 4 keeps its mirror symmetries
FINE = 16  # samples each way in a cell of the plan
SLENDEREST = 0.25  # breadth over width taken; beyond it the jar is a trough


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A shape within a rectangle of width 1 and `breadth` [1].

    corner [1]: radius of the corners over half the breadth, 1 for round ends; oval: 1 makes
    an ellipse of it, whatever the corner.
    """

    breadth: float = 1.0
    corner: float = 1.0
    oval: bool = False

    def __post_init__(self) -> None:
        """Refuse what is no plan."""
        found = Problems()
        if not SLENDEREST <= self.breadth <= 1.0:
            found.add(
                "vessel.breadth",
                f"A breadth of {self.breadth:g} of the width is not one.",
                f"Give {SLENDEREST} to 1; the width is the longer way across.",
            )
        if not 0.0 <= self.corner <= 1.0:
            found.add("vessel.corner", "The corner is rounder than round.", "Give 0 to 1.")
        found.check()

    def outline(self, width: float) -> Array:
        """Return POINTS points x, y [m] anticlockwise, evenly spaced along the outline.

        width [m]. They start on the x axis; the polygon's first and last are neighbours.
        """
        a, b = 0.5 * width, 0.5 * width * self.breadth
        many = np.linspace(0.0, 0.5 * np.pi, 4001)
        if self.oval:
            quarter = np.stack([a * np.cos(many), b * np.sin(many)])
        else:
            r = self.corner * b
            bend = np.stack([a - r + r * np.cos(many), b - r + r * np.sin(many)])
            quarter = np.concatenate([[[a], [0.0]], bend, [[0.0], [b]]], axis=1)
        gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(quarter)))])
        at = np.linspace(0.0, gone[-1], POINTS // 4 + 1)
        x, y = np.interp(at, gone, quarter[0]), np.interp(at, gone, quarter[1])
        y[0], x[-1] = 0.0, 0.0
        half = np.concatenate([np.stack([x, y]), np.stack([-x[-2::-1], y[-2::-1]])], axis=1)
        return np.concatenate([half[:, :-1], -half[:, :-1]], axis=1)

    def inside(self, x: Array, y: Array, width: float) -> Array:
        """Return 1 for points [m] inside the shape of a width [m], 0 outside."""
        a, b = 0.5 * width, 0.5 * width * self.breadth
        if self.oval:
            return np.asarray(((x / a) ** 2 + (y / b) ** 2 <= 1.0).astype(float))
        r = self.corner * b
        over = np.maximum(np.abs(x) - (a - r), 0.0) ** 2 + np.maximum(np.abs(y) - (b - r), 0.0) ** 2
        box = (np.abs(x) <= a) & (np.abs(y) <= b)
        return np.asarray((box & (over <= r * r)).astype(float))

    def area(self, width: float) -> float:
        """Return the area [m²] of the shape of a width [m]."""
        a, b = 0.5 * width, 0.5 * width * self.breadth
        if self.oval:
            return float(np.pi * a * b)
        r = self.corner * b
        return float(4.0 * a * b - (4.0 - np.pi) * r * r)

    def hydraulic(self, width: float) -> float:
        """Return the diameter [m] of the circle with the same area over perimeter."""
        points = self.outline(1.0)
        around = float(np.hypot(*(np.roll(points, -1, axis=1) - points)).sum())
        return 4.0 * self.area(width) / (around * width)

    @property
    def of_round(self) -> float:
        """Area over that of the circle of the same width [1]."""
        return self.area(1.0) / (0.25 * np.pi)


ROUND = Plan()


def square(corner: float = 0.2) -> Plan:
    """Return a square plan; corner [1]: radius over half the width."""
    return Plan(corner=corner)


def oval(breadth: float) -> Plan:
    """Return an ellipse; breadth [1] over its width."""
    return Plan(breadth=breadth, oval=True)


def wicks(count: int, plan: Plan, width: float) -> tuple[tuple[float, float], ...]:
    """Return where `count` wicks x, y [m] usually stand in a vessel of a width [m].

    A third of the width apart, centre to centre (common practice): two and three of an
    oblong in a row, three of a round or square in a triangle, four in a square.
    """
    third = width / 3.0
    if count == 1:
        return ((0.0, 0.0),)
    if count == 3 and plan.breadth > 0.8:  # noqa: PLR2004 -- nearly as broad as wide
        turns = 0.5 * np.pi + 2.0 * np.pi * np.arange(3) / 3.0
        far = third / np.sqrt(3.0)
        return tuple((float(far * np.cos(t)), float(far * np.sin(t))) for t in turns)
    if count == 4 and plan.breadth > 0.8:  # noqa: PLR2004
        half = 0.5 * third
        return ((-half, -half), (half, -half), (half, half), (-half, half))
    apart = third if count <= 3 else width / (count + 0.5)  # noqa: PLR2004 -- a row that fits
    return tuple((float((n - 0.5 * (count - 1)) * apart), 0.0) for n in range(count))

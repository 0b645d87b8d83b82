"""The plan of a vessel, seen from above: round, square with round corners, or oval.

The profile gives the inner width at each height; the plan says what shape has that width. It
keeps its proportions up the vessel, so that a tapered square stays one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import pi

from rushlight.errors import Problems

SLENDEREST = 0.25  # breadth over width; beyond it a jar is a trough (our own bound)


class PlanShape(StrEnum):
    """What the vessel looks like from above."""

    ROUND = "round"
    SQUARE = "square"
    OVAL = "oval"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A shape of width 1: `breadth` [1] across the shorter way; corner: radius over half of it [1].

    Raises BadInput for what is no such shape.
    """

    shape: PlanShape = PlanShape.ROUND
    breadth: float = 1.0
    corner: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what is no plan."""
        found = Problems()
        if not SLENDEREST <= self.breadth <= 1.0:
            found.add(
                "breadth",
                "The breadth is not between a quarter of the width and the whole of it.",
                "Type the shorter way across as breadth, and the longer one as diameter.",
            )
        if not 0.0 <= self.corner <= 1.0:
            found.add(
                "corner",
                "The corners are rounder than half the breadth.",
                "Type the radius of a corner, at most half the breadth.",
            )
        found.check()

    @property
    def area(self) -> float:
        """Its area as a share of the circle of the same width [1], by plane geometry."""
        if self.shape is PlanShape.ROUND:
            return 1.0
        if self.shape is PlanShape.OVAL:
            return self.breadth
        # a rectangle less what its four round corners of radius r leave out: (4 − π) r²
        radius = self.corner * self.breadth / 2
        return (self.breadth - (4 - pi) * radius**2) / (pi / 4)


ROUND = Plan()

"""From metres in the vessel to places on the sheet."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.candle.parts import Vessel
from rushlight.web.drawing.svg import Point

WIDTH, HEIGHT = 572.0, 520.0
CENTRE = 226.0
TOP, BOTTOM = 66.0, 486.0
WIDEST = 250.0


@dataclass(frozen=True, slots=True)
class Frame:
    """A scale [px/m], the centre line and the level of the inner base, on the sheet."""

    scale: float
    centre: float
    base: float

    @classmethod
    def around(cls, vessel: Vessel, above: float) -> Frame:
        """Return the largest frame in which the vessel and what stands above its rim fit.

        above: highest thing over the inner base [m], such as a wick's tip.
        """
        widest = max(s.diameter for s in vessel.profile.stations) + 2 * vessel.wall
        tallest = max(vessel.profile.depth, above) + vessel.base
        scale = min(WIDEST / widest, (BOTTOM - TOP) / tallest)
        floor = (TOP + BOTTOM + tallest * scale) / 2  # stands in the middle of the sheet
        return cls(scale, CENTRE, floor - vessel.base * scale)

    def y(self, height: float) -> float:
        """Return the sheet's y of a height above the inner base [m]."""
        return self.base - height * self.scale

    def at(self, radius: float, height: float) -> Point:
        """Return the place of a radius (left is negative) and height [m]."""
        return self.centre + radius * self.scale, self.y(height)


def inner_points(vessel: Vessel, low: float, high: float) -> list[tuple[float, float]]:
    """Return (radius, height) [m] along the inside from one height to another."""
    between = [s.height for s in vessel.profile.stations if low < s.height < high]
    heights = [low, *between, high]
    return [(vessel.profile.diameter_at(h) / 2, h) for h in heights]  # type: ignore[arg-type]


def outer_points(vessel: Vessel) -> list[tuple[float, float]]:
    """Return (radius, height) [m] along the outside, from under the base to the brim."""
    inside = [(s.diameter / 2 + vessel.wall, float(s.height)) for s in vessel.profile.stations]
    return [(inside[0][0], -vessel.base), *inside]

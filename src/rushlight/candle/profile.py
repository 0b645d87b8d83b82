"""The inside of a vessel as a stack of cone frustums."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import expm1, isfinite, log1p, pi

from rushlight.errors import BadInput, Problems
from rushlight.quantity.si import CubicMetre, Metre

_ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class Station:
    """One measured place inside a vessel.

    height: above the inner base [m].
    diameter: inner diameter there [m].
    """

    height: Metre
    diameter: Metre


@dataclass(frozen=True, slots=True)
class Profile:
    """Inner profile from the base (height 0) to the brim.

    stations: at least two, heights strictly rising from 0; straight between.
    """

    stations: tuple[Station, ...]

    def __post_init__(self) -> None:
        """Refuse a profile no vessel can have."""
        _check(self.stations)

    @property
    def depth(self) -> Metre:
        """Inner depth from base to brim [m]."""
        return self.stations[-1].height

    @property
    def brim_volume(self) -> CubicMetre:
        """Volume to the brim [m³]."""
        return self.volume_below(self.depth)

    def diameter_at(self, height: Metre) -> Metre:
        """Inner diameter [m] at a height [m] between the base and the brim."""
        height = Metre(self._inside("height", height, self.depth))
        for low, high in pairwise(self.stations):
            if height <= high.height:
                return _between(low, high, height)
        return self.stations[-1].diameter

    def volume_below(self, height: Metre) -> CubicMetre:
        """Volume [m³] below a height [m] between the base and the brim.

        A frustum of height h between diameters d and D holds π h (d² + d D + D²)/12
        (Euclid, Elements XII, in today's notation).
        """
        height = Metre(self._inside("height", height, self.depth))
        volume = 0.0
        for low, high in pairwise(self.stations):
            if height < high.height:
                return CubicMetre(volume + _frustum(low, _cut(low, high, height)))
            volume += _frustum(low, high)
        return CubicMetre(volume)

    def height_at(self, volume: CubicMetre) -> Metre:
        """Height [m] to which a volume [m³] fills the vessel, from empty to the brim.

        The inverse of `volume_below`, in closed form. Within one frustum of slope
        k = (D - d)/(d h) the volume a·π d²/4 reaches z with (1 + k z)³ = 1 + 3 k a;
        log1p and expm1 keep it exact where the sides are nearly straight.
        """
        left = self._inside("volume", volume, self.brim_volume)
        for low, high in pairwise(self.stations):
            part = _frustum(low, high)
            if left < part:
                return Metre(low.height + _climb(low, high, left))
            left -= part
        return self.depth

    def similar(self, ratio: float) -> Profile:
        """Return the same shape with every length multiplied by a ratio [1]."""
        return Profile(
            tuple(
                Station(Metre(s.height * ratio), Metre(s.diameter * ratio)) for s in self.stations
            )
        )

    @staticmethod
    def _inside(what: str, value: float, most: float) -> float:
        # A sum of parts may miss the brim by a rounding error; no more is forgiven.
        if not -_ROUNDING * most <= value <= most * (1 + _ROUNDING):
            raise BadInput.one(
                f"A {what} of {value:.6g} is outside the vessel, which ends at {most:.6g}.",
                "Stay between the inner base and the brim.",
            )
        return min(max(float(value), 0.0), most)


def straight(*, depth: Metre, diameter: Metre) -> Profile:
    """Return the profile of a straight-sided vessel; inner depth and diameter [m]."""
    return tapered(depth=depth, base_diameter=diameter, diameter=diameter)


def tapered(*, depth: Metre, base_diameter: Metre, diameter: Metre) -> Profile:
    """Return the profile of a tapered vessel; diameters at the base and the brim [m]."""
    return Profile((Station(Metre(0.0), base_diameter), Station(depth, diameter)))


def shouldered(
    *,
    depth: Metre,
    diameter: Metre,
    shoulder_height: Metre,
    neck_diameter: Metre,
    base_diameter: Metre | None = None,
) -> Profile:
    """Return the profile of a jar whose body ends at a shoulder and closes to a neck.

    depth, diameter of the body at the shoulder, shoulder_height above the base,
    neck_diameter at the brim, base_diameter (the body's, if it tapers), all inner [m].
    """
    return Profile(
        (
            Station(Metre(0.0), diameter if base_diameter is None else base_diameter),
            Station(shoulder_height, diameter),
            Station(depth, neck_diameter),
        )
    )


def _check(stations: tuple[Station, ...]) -> None:
    problems = Problems()
    if len(stations) < 2:  # noqa: PLR2004  a frustum has two ends
        problems.add("", "A profile needs a base and a brim.", "Give at least two heights.")
    elif float(stations[0].height) != 0:
        problems.add("0", "A profile starts at the inner base.", "Give height 0 first.")
    for i, station in enumerate(stations):
        if not (isfinite(station.diameter) and station.diameter > 0):
            problems.add(
                f"{i}", "An inner diameter must be more than zero.", "Measure across the inside."
            )
    for i, (low, high) in enumerate(pairwise(stations), start=1):
        if not (isfinite(high.height) and high.height > low.height):
            problems.add(
                f"{i}", "The heights of a profile must rise.", "List them from the base upwards."
            )
    problems.check()


def _frustum(low: Station, high: Station) -> float:
    d, wide = low.diameter, high.diameter
    return pi * (high.height - low.height) * (d * d + d * wide + wide * wide) / 12


def _between(low: Station, high: Station, height: float) -> Metre:
    share = (height - low.height) / (high.height - low.height)
    return Metre(low.diameter + share * (high.diameter - low.diameter))


def _cut(low: Station, high: Station, height: Metre) -> Station:
    return Station(height, _between(low, high, height))


def _climb(low: Station, high: Station, volume: float) -> float:
    """Height above `low` [m] to which a volume [m³] fills the frustum."""
    straight_height = 4 * volume / (pi * low.diameter * low.diameter)
    slope = (high.diameter - low.diameter) / (low.diameter * (high.height - low.height))
    if slope == 0:
        return straight_height
    return min(expm1(log1p(3 * slope * straight_height) / 3) / slope, high.height - low.height)

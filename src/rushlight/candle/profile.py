"""The inside of a vessel as a stack of cone frustums."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.quantity.si import CubicMetre, Metre


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

    @property
    def depth(self) -> Metre:
        """Inner depth from base to brim [m]."""
        raise NotImplementedError

    @property
    def brim_volume(self) -> CubicMetre:
        """Volume to the brim [m³]."""
        raise NotImplementedError

    def diameter_at(self, height: Metre) -> Metre:
        """Inner diameter [m] at a height [m]."""
        raise NotImplementedError

    def volume_below(self, height: Metre) -> CubicMetre:
        """Volume [m³] below a height [m]."""
        raise NotImplementedError

    def height_at(self, volume: CubicMetre) -> Metre:
        """Height [m] to which a volume [m³] fills the vessel."""
        raise NotImplementedError

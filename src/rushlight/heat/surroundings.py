"""Where a candle stands: the room, what is under it, what is beside it, the draught.

Each kind of face gets one flux law [W/m²] of its surface temperature, tabulated
for the kernels. Convection from `rushlight.heat.air`; radiation grey, to
surroundings at room temperature.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rushlight.errors import Problems
from rushlight.heat import air
from rushlight.heat.enthalpy import ZERO, Array
from rushlight.heat.system import Air, ShellFacts, air_from

WAX_EMISSIVITY = 0.9  # from memory; organic liquids and solids are near black in the infrared

MATERIALS = {
    # soda-lime container glass: "List of physical properties of glass", encyclopaedia
    # table; emissivity from memory (0.84–0.94)
    "glass": ShellFacts(2520.0, 800.0, 1.03, 0.90),
    # tinplate, bright: from memory
    "tin": ShellFacts(7850.0, 475.0, 55.0, 0.10),
    # aluminium: Incropera, Fundamentals of Heat Transfer, table A.1; emissivity from memory
    "aluminium": ShellFacts(2702.0, 903.0, 237.0, 0.10),
    # stoneware and porcelain: from memory
    "ceramic": ShellFacts(2300.0, 900.0, 1.6, 0.90),
    # wood, across the grain: from memory
    "wood": ShellFacts(600.0, 1700.0, 0.15, 0.90),
    # cement vessels: from memory
    "concrete": ShellFacts(2100.0, 940.0, 1.1, 0.90),
}


class Stand(StrEnum):
    """What a vessel stands on."""

    WOOD = "wood"
    STONE = "stone"
    RACK = "wire rack"


CONTACT = {Stand.WOOD: 6.0, Stand.STONE: 14.0}  # [W/(m² K)], 5–15 from memory


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a candle stands.

    room [K]; stand; gap [m] to the neighbours on every side, None when alone;
    draught [1]: factor on convection, 1 in still air.
    """

    room: float = ZERO + 21.0
    stand: Stand = Stand.WOOD
    gap: float | None = None
    draught: float = 1.0

    def check(self) -> None:
        """Refuse what cannot be."""
        found = Problems()
        if not ZERO - 30 <= self.room <= ZERO + 60:
            found.add(
                "place.room",
                f"A room at {self.room - ZERO:.0f} °C is not one to set candles in.",
                "Give a temperature between −30 and 60 °C.",
            )
        if self.gap is not None and not 0 <= self.gap < 10:  # noqa: PLR2004 -- 10 m
            found.add("place.gap", "The gap is not possible.", "Give millimetres between jars.")
        if not 0.2 <= self.draught <= 10:  # noqa: PLR2004 -- beyond it the law is another
            found.add("place.draught", "The draught factor is not possible.", "Give 0.2 to 10.")
        found.check()


REFRIGERATOR = Place(room=ZERO + 5.0, stand=Stand.RACK, draught=1.5)
"""A household refrigerator with its fan: common practice and from memory."""


@dataclass(frozen=True, slots=True)
class Sway:
    """Factors on what is uncertain in the surroundings [1]: side, top, base."""

    side: float = 1.0
    top: float = 1.0
    base: float = 1.0


def blocked(gap: float | None, diameter: float, height: float) -> float:
    """Return the share of the sideways view [1] that neighbours take.

    Four equal neighbours in a square, gap [m]: each fills 2·asin(R/(2R + gap)) of
    the full turn, less what passes over them, cos of half the elevation angle.
    """
    if gap is None:
        return 0.0
    turn = 4 * np.arcsin(0.5 * diameter / (diameter + gap)) / np.pi
    over = np.sin(np.arctan2(height, gap + 1e-6))
    return float(np.clip(turn * over, 0.0, 0.95))


def crowding(gap: float | None) -> float:
    """Return the factor [1] on side convection between jars: 1 far away, ½ at 10 mm.

    Two boundary layers of about 10 mm need 20 mm between them; the shape is a
    smooth guess, from memory.
    """
    return 1.0 if gap is None else float(gap / (gap + 0.010))


def opening(depth: float, diameter: float) -> float:
    """Return the view factor [1] from a disk to an equal disk above it.

    depth, diameter [m]. F = ½ (S − √(S² − 4)), S = 2 + (depth/R)²; Incropera,
    table 13.2 (from memory). The inner wall about the wax takes the rest.
    """
    s = 2.0 + (2 * depth / diameter) ** 2
    return float(0.5 * (s - np.sqrt(s * s - 4.0)))


def airs(  # noqa: PLR0913 -- place, vessel and doubt
    place: Place, shell: ShellFacts, *, diameter: float, height: float, rim: float, sway: Sway
) -> tuple[Air, Air, Air, Air]:
    """Return the flux laws of side, base, top and rim.

    diameter, height [m] of the vessel outside; rim [m] from wax to brim. The wax
    top sees the room through the mouth and, for half of the rest, by way of the
    wall, which is taken at the middle between wax and room.
    """
    room = place.room
    seen = 1.0 - blocked(place.gap, diameter, height)
    beside = place.draught * crowding(place.gap) * sway.side
    mouth = opening(rim, diameter)
    through = mouth + 0.5 * (1.0 - mouth)
    shelter = 1.0 / (1.0 + rim / diameter)  # a recessed top lies in stiller air; from memory

    def side(t: Array) -> Array:
        carried = beside * air.side_coefficient(t, np.full_like(t, room), height, diameter)
        return (carried + seen * radiated(t, shell.emissivity)) * (t - room)

    def base(t: Array) -> Array:
        if place.stand is Stand.RACK:
            carried = place.draught * air.base_coefficient(t, np.full_like(t, room), diameter)
            return sway.base * (carried + radiated(t, shell.emissivity)) * (t - room)
        return sway.base * CONTACT[place.stand] * (t - room)

    def top(t: Array) -> Array:
        carried = air.top_coefficient(t, np.full_like(t, room), diameter)
        radiation = through * radiated(t, WAX_EMISSIVITY)
        return (sway.top * shelter * place.draught * carried + radiation) * (t - room)

    def inside(t: Array) -> Array:
        carried = air.wall_coefficient(t, np.full_like(t, room), max(rim, 0.01))
        radiation = 0.5 * mouth * radiated(t, shell.emissivity)
        return (0.5 * place.draught * carried + radiation) * (t - room)

    def radiated(t: Array, emissivity: float) -> Array:
        return air.radiation_coefficient(t, np.full_like(t, room), emissivity)

    return (
        air_from(side, room),
        air_from(base, room),
        air_from(top, room),
        air_from(inside, room),
    )

"""The pitcher of molten wax as one lump: how much heat it holds and how fast it loses it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rushlight.errors import Problems
from rushlight.heat import air
from rushlight.quantity.si import Density, Fraction1, Kelvin, Kilogram, Metre

Temperatures = NDArray[np.float64]

COLDEST_ROOM, HOTTEST_ROOM = 253.15, 323.15
"""[K] −20 and 50 °C: no bench is colder or hotter; a figure beyond is a slip of the unit."""


BRIGHT, WAX = Fraction1(0.1), Fraction1(0.9)
"""[1] Emissivities of polished metal and of liquid wax; from memory, as typical of the kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pot:
    """A pitcher (or melter) of liquid wax.

    wax_mass, pitcher_mass [kg]; heat capacities [J/(kg K)]; diameter inside
    and height of the wax in it [m]; emissivities [1].

    Defaults: aluminium 903 J/(kg K) (Incropera, *Heat and Mass Transfer*,
    table A.1), a bright metal side. A painted or enamelled pitcher has a side
    emissivity of about 0.9.
    """

    wax_mass: Kilogram
    wax_heat_capacity: float = 2200.0
    pitcher_mass: Kilogram
    pitcher_heat_capacity: float = 903.0
    diameter: Metre
    fill_height: Metre
    side_emissivity: Fraction1 = BRIGHT
    top_emissivity: Fraction1 = WAX

    @property
    def heat_capacity(self) -> float:
        """Heat capacity of wax and pitcher together [J/K]."""
        return (
            self.wax_mass * self.wax_heat_capacity + self.pitcher_mass * self.pitcher_heat_capacity
        )


def fill_height(wax_mass: Kilogram, density: Density, diameter: Metre) -> Metre:
    """Return how high wax stands in a round pitcher [m]: h = m / (ρ π D²/4).

    wax_mass [kg], density of the hot wax [kg/m³], inner diameter [m].
    """
    return Metre(wax_mass / (density * math.pi * diameter**2 / 4.0))


def loss(pot: Pot, surface: Temperatures, room: float) -> Temperatures:
    """Return the heat the pitcher loses to the room [W]; negative when the room warms it.

    Convection and radiation from the side and from the open wax; nothing
    through the base (a wooden bench; a stone one takes more, which the fitted
    loss factor absorbs). The side is a flat wall for convection, as it may be
    while D/L ≥ 35/Gr^(1/4) (Incropera; here about 0.6).

    surface: wax temperatures [K]; room [K].
    """
    still = np.full_like(surface, room)
    side = air.wall_coefficient(surface, still, pot.fill_height)
    side = side + air.radiation_coefficient(surface, still, pot.side_emissivity)
    top = air.top_coefficient(surface, still, pot.diameter)
    top = top + air.radiation_coefficient(surface, still, pot.top_emissivity)
    side_area = math.pi * pot.diameter * pot.fill_height
    top_area = math.pi * pot.diameter**2 / 4.0
    return (side * side_area + top * top_area) * (surface - room)


_RANGES = (
    ("wax_mass", 0.001, 500.0, "kg"),
    ("wax_heat_capacity", 500.0, 5000.0, "J/(kg K)"),
    ("pitcher_mass", 0.0, 200.0, "kg"),
    ("pitcher_heat_capacity", 100.0, 5000.0, "J/(kg K)"),
    ("diameter", 0.01, 2.0, "m"),
    ("fill_height", 0.001, 2.0, "m"),
    ("side_emissivity", 0.0, 1.0, ""),
    ("top_emissivity", 0.0, 1.0, ""),
)


def note_problems(pot: Pot, problems: Problems) -> None:
    """Note every field of the pitcher that is not a finite figure in its range."""
    for name, low, high, unit in _RANGES:
        value = getattr(pot, name)
        if not low <= value <= high:  # a NaN is outside as well
            problems.add(
                f"pot.{name}",
                f"{value:g} {unit}".strip() + f" is no {name.replace('_', ' ')} of a pitcher.",
                f"Give a figure from {low:g} to {high:g} {unit}".strip() + ".",
            )


def note_room(room: Kelvin, problems: Problems) -> None:
    """Note a room temperature [K] no bench has."""
    if not COLDEST_ROOM <= room <= HOTTEST_ROOM:
        problems.add(
            "room",
            f"A room at {room - 273.15:.0f} °C ({room * 1.8 - 459.67:.0f} °F) is not believable.",
            "Type the temperature of the air at the bench with its unit, such as 21 C or 70 F.",
        )

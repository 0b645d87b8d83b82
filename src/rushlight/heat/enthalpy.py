"""What heat does to a wax: enthalpy and conduction potential as straight pieces.

A wax has no single melting point. Its enthalpy curve h(T) is built from
several transitions, each spread over a range (a solid–solid change gives heat
but no liquid), and every piece is straight, so that temperature T(h) and the
conduction potential θ(h) = ∫ k dT are sums of hinges in h: exact inverses, no
iteration, and a flux between two cells is simply a difference of θ.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rushlight.errors import Problems

Array = NDArray[np.float64]

ZERO = 273.15  # 0 °C [K], definition of the Celsius scale
COLDEST = ZERO - 60.0  # where every curve starts, h = 0 [K]
HINGES = 8  # bends a kernel allows in one curve
MUSHY_PIECES = 2  # straight pieces in which conductivity follows a melting range
WIDEST = 1500.0  # hottest temperature a curve is asked for [K]


@dataclass(frozen=True, slots=True)
class Transition:
    """One change of state, spread evenly over a range.

    start, end [K]: solidus and liquidus of this change, start ≤ end.
    latent [J/kg]: heat it takes.
    liquid [1]: share of the wax that becomes liquid in it (0 for solid–solid).
    """

    start: float
    end: float
    latent: float
    liquid: float = 1.0


@dataclass(frozen=True, kw_only=True)
class WaxThermal:
    """What the heat model must know of a wax.

    transitions: from cold to hot, not overlapping; their `liquid` sums to 1.
    heat_solid, heat_liquid: heat capacity [J/(kg K)].
    conduct_solid, conduct_liquid: conductivity [W/(m K)].
    density_liquid [kg/m³] at density_at [K]; shrink [1]: loss of volume from there
    to the solid at 20 °C, without the pores it may set with.
    expansion_solid, expansion_liquid: volumetric [1/K].
    undercooling [K]: how far below its melting range the wax congeals.
    burning_heat: net heat of combustion [J/kg].
    """

    name: str
    transitions: tuple[Transition, ...]
    heat_solid: float
    heat_liquid: float
    conduct_solid: float
    conduct_liquid: float
    density_liquid: float
    density_at: float
    shrink: float
    expansion_solid: float
    expansion_liquid: float
    undercooling: float = 0.0
    burning_heat: float = 43.5e6
    source: str = ""

    @property
    def density_solid(self) -> float:
        """Density of the solid without pores at 20 °C [kg/m³]."""
        return self.density_liquid / (1.0 - self.shrink)

    @property
    def solidus(self) -> float:
        """Temperature below which nothing is liquid [K]."""
        return min(t.start for t in self.transitions if t.liquid > 0)

    @property
    def liquidus(self) -> float:
        """Temperature above which all is liquid [K]."""
        return max(t.end for t in self.transitions if t.liquid > 0)

    @property
    def latent(self) -> float:
        """Heat of all transitions together [J/kg]."""
        return sum(t.latent for t in self.transitions)

    def shifted(self, step: float) -> WaxThermal:
        """Return the wax with every transition moved by `step` [K]."""
        moved = tuple(replace(t, start=t.start + step, end=t.end + step) for t in self.transitions)
        return replace(self, transitions=moved)

    def melting_between(self, solidus: float, liquidus: float) -> WaxThermal:
        """Return the wax with its melting stretched to lie between these [K].

        What gives no liquid keeps its width and its distance below the solidus.
        """
        low, width = self.solidus, self.liquidus - self.solidus
        stretch = (liquidus - solidus) / width if width > 0 else 1.0

        def to(t: float) -> float:
            return solidus + (t - low) * (stretch if t > low else 1.0)

        moved = tuple(
            replace(t, start=to(t.start), end=liquidus if t.end == self.liquidus else to(t.end))
            for t in self.transitions
        )
        return replace(self, transitions=moved)

    def congealing(self) -> WaxThermal:
        """Return the wax as it freezes: every transition `undercooling` lower."""
        return self.shifted(-self.undercooling)

    def scaled(self, *, latent: float = 1.0, conduct: float = 1.0) -> WaxThermal:
        """Return the wax with latent heat and conductivity multiplied [1]."""
        return replace(
            self,
            transitions=tuple(replace(t, latent=t.latent * latent) for t in self.transitions),
            conduct_solid=self.conduct_solid * conduct,
            conduct_liquid=self.conduct_liquid * conduct,
        )


def check(wax: WaxThermal) -> None:
    """Refuse a wax that cannot exist, naming every reason at once."""
    found = Problems()
    positive = "Give a value above zero."
    for place in (
        "heat_solid",
        "heat_liquid",
        "conduct_solid",
        "conduct_liquid",
        "density_liquid",
        "burning_heat",
    ):
        value = getattr(wax, place)
        if not (np.isfinite(value) and value > 0):
            found.add(f"wax.{place}", f"{value} is not possible.", positive)
    if not 0 <= wax.shrink < 0.5:  # noqa: PLR2004 -- no wax loses half its volume
        found.add("wax.shrink", f"{wax.shrink} is not possible.", "Give 0 to 0.3; 0.07 is usual.")
    if not wax.transitions:
        found.add("wax.transitions", "There is no melting range.", "Give one at least.")
    below = COLDEST
    for number, change in enumerate(wax.transitions):
        place = f"wax.transitions.{number}"
        if change.start > change.end:
            found.add(place, "The solidus is above the liquidus.", "Exchange the two.")
        if change.start < below:
            found.add(place, "It begins below the end of the one before.", "Part the ranges.")
        if not change.latent >= 0:
            found.add(place, "The latent heat is negative.", "Give zero or more.")
        below = max(below, change.end)
    liquid = sum(t.liquid for t in wax.transitions)
    if wax.transitions and abs(liquid - 1.0) > 1e-9:  # noqa: PLR2004 -- rounding only
        found.add("wax.transitions", "The liquid shares do not add up to 1.", "Correct them.")
    found.check()


@dataclass(frozen=True)
class Curve:
    """The straight pieces: temperature, enthalpy and potential at the bends.

    temperatures [K], enthalpies [J/kg], potentials [W/m], liquid [1] at each
    bend; beyond the last one the last piece goes on.
    """

    temperatures: Array
    enthalpies: Array
    potentials: Array
    liquid: Array

    def enthalpy(self, temperature: Array | float, *, molten: float = 1.0) -> Array:
        """Return h(T) [J/kg] for T [K]; where T(h) is flat, `molten` [1] of the step."""
        t = np.asarray(temperature, dtype=float)
        low = np.searchsorted(self.temperatures, t, side="left")
        high = np.searchsorted(self.temperatures, t, side="right")
        flat = high - low >= 2  # noqa: PLR2004 -- two bends at one temperature
        place = np.clip(high - 1, 0, len(self.temperatures) - 2)
        run = np.diff(self.temperatures)[place]
        rise = np.diff(self.enthalpies)[place]
        slope = rise / np.where(run > 0, run, 1.0)
        h = self.enthalpies[place] + slope * (t - self.temperatures[place])
        first = self.enthalpies[np.minimum(low, len(self.enthalpies) - 1)]
        last = self.enthalpies[np.maximum(high - 1, 0)]
        return np.asarray(np.where(flat, first + molten * (last - first), h))

    def temperature(self, enthalpy: Array | float) -> Array:
        """Return T(h) [K] for h [J/kg], the exact inverse of `enthalpy`."""
        return evaluate(self.hinges[0], self.hinges[1], np.asarray(enthalpy, dtype=float))

    def potential(self, enthalpy: Array | float) -> Array:
        """Return θ(h) = ∫ k dT [W/m] for h [J/kg]."""
        return evaluate(self.hinges[0], self.hinges[2], np.asarray(enthalpy, dtype=float))

    def liquid_fraction(self, enthalpy: Array | float) -> Array:
        """Return the liquid mass fraction [1] at h [J/kg]."""
        share = np.interp(np.asarray(enthalpy, dtype=float), self.enthalpies, self.liquid)
        return np.asarray(share, dtype=np.float64)

    def conductivity(self, enthalpy: Array | float) -> Array:
        """Return k [W/(m K)] at h [J/kg], constant within a piece."""
        place = self._piece(np.asarray(enthalpy, dtype=float))
        return np.asarray(self.pieces[place])

    def _piece(self, enthalpy: Array) -> NDArray[np.intp]:
        last = len(self.enthalpies) - 2
        return np.clip(np.searchsorted(self.enthalpies, enthalpy, side="right") - 1, 0, last)

    @cached_property
    def pieces(self) -> Array:
        """Conductivity of each piece [W/(m K)]; a flat piece takes its neighbours' mean."""
        run = np.diff(self.temperatures)
        rise = np.diff(self.potentials)
        k = np.where(run > 0, rise / np.where(run > 0, run, 1.0), np.nan)
        for flat in np.flatnonzero(np.isnan(k)):
            k[flat] = 0.5 * (k[flat - 1] + k[flat + 1])
        return k

    @cached_property
    def hinges(self) -> Array:
        """Rows: bend [J/kg], change of dT/dh [K kg/J] and of dθ/dh [kg/(m s)] there.

        f(h) = f₀ + Σ change·max(h − bend, 0), with f₀ in the first column of
        the change rows and the first slope (bend = −∞ in effect) in the second.
        Padded with zeros to HINGES, so that every curve has one shape.
        """
        table = np.zeros((3, HINGES + 2))
        steps = np.diff(self.enthalpies)
        bends = len(steps) - 1
        table[0, 2 : 2 + bends] = self.enthalpies[1:-1]
        for row, values in ((1, self.temperatures), (2, self.potentials)):
            slopes = np.diff(values) / steps
            table[row, 0] = values[0]
            table[row, 1] = slopes[0]
            table[row, 2 : 2 + bends] = np.diff(slopes)
        return table

    @cached_property
    def steepest(self) -> float:
        """Largest dθ/dh [kg/(m s)]: it bounds the stable time step."""
        return float(np.max(np.diff(self.potentials) / np.diff(self.enthalpies)))


def evaluate(bends: Array, changes: Array, enthalpy: Array) -> Array:
    """Return the sum of hinges at h [J/kg], the same unit as `changes` times J/kg."""
    total = changes[0] + changes[1] * enthalpy
    for bend, change in zip(bends[2:], changes[2:], strict=True):
        if change != 0.0:
            total = total + change * np.maximum(enthalpy - bend, 0.0)
    return np.asarray(total)


def curve(wax: WaxThermal, *, mixing: float = 1.0) -> Curve:
    """Return the enthalpy curve of a wax.

    mixing [1]: factor on the conductivity of fully liquid wax, standing for
    convection in the melt (1: still). Heat capacity and conductivity go from
    solid to liquid value with the liquid share. Raises BadInput.
    """
    check(wax)
    points = [(COLDEST, 0.0, 0.0, 0.0)]  # T, h, θ, liquid

    def go(to: float, latent: float, liquid: float, factor: float = 1.0) -> None:
        t, h, theta, had = points[-1]
        mean = had + 0.5 * liquid
        heat = wax.heat_solid + mean * (wax.heat_liquid - wax.heat_solid)
        k = factor * (wax.conduct_solid + mean * (wax.conduct_liquid - wax.conduct_solid))
        rise = heat * (to - t) + latent
        if rise > 0:
            points.append((to, h + rise, theta + k * (to - t), had + liquid))

    for change in wax.transitions:
        go(change.start, 0.0, 0.0)
        pieces = MUSHY_PIECES if change.liquid > 0 and change.end > change.start else 1
        for piece in range(1, pieces + 1):
            to = change.start + (change.end - change.start) * piece / pieces
            go(to, change.latent / pieces, change.liquid / pieces)
    go(WIDEST, 0.0, 0.0, mixing)
    columns = [np.array(column) for column in zip(*points, strict=True)]
    found = Problems()
    if len(points) - 2 > HINGES:
        found.add(
            "wax.transitions",
            f"{len(wax.transitions)} transitions are more than the model bends for.",
            "Join neighbouring ones.",
        )
    found.check()
    return Curve(*columns)


def specific_volume(wax: WaxThermal, line: Curve, enthalpy: Array) -> Array:
    """Return volume per mass [m³/kg] at h [J/kg], solid and liquid shares mixed.

    v = (1 − f) v_solid(T) + f v_liquid(T), each linear in T about its own datum.
    """
    t = line.temperature(enthalpy)
    f = line.liquid_fraction(enthalpy)
    solid = (1 + wax.expansion_solid * (t - (ZERO + 20.0))) / wax.density_solid
    liquid = (1 + wax.expansion_liquid * (t - wax.density_at)) / wax.density_liquid
    return np.asarray((1 - f) * solid + f * liquid)

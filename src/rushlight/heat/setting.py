"""A poured jar about to set, and the numbers the march needs of it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from rushlight.candle.profile import Profile
from rushlight.errors import BadInput, Problems
from rushlight.heat.enthalpy import ZERO, Array, Curve, WaxThermal, check, curve, specific_volume
from rushlight.heat.grid import Grid, vessel_grid
from rushlight.heat.surroundings import MATERIALS, Place, Sway, airs
from rushlight.heat.system import Parts, ShellFacts, assemble, start_state

MIXING = 4.0
"""Factor on the conductivity of liquid wax that stands for its convection. Only the
superheat, some 10 % of the heat, is carried by it; 1.5–8 is drawn in the spread."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """A jar, poured.

    profile inside; fill [m]: height of the hot wax; wall, base [m]; material
    (a key of `surroundings.MATERIALS`); wax; pour, vessel [K]: temperature of
    the wax poured and of the vessel; place.
    """

    profile: Profile
    fill: float
    wall: float
    base: float
    material: str
    wax: WaxThermal
    pour: float
    vessel: float
    place: Place = field(default_factory=Place)

    def check(self) -> None:
        """Refuse what cannot be, every reason at once."""
        found = Problems()
        for part in (self.place.check, lambda: check(self.wax)):
            try:
                part()
            except BadInput as bad:
                found.extend(bad.problems)
        if self.material not in MATERIALS:
            found.add(
                "vessel.material",
                f"No heat facts are known for “{self.material}”.",
                f"Take one of: {', '.join(MATERIALS)}.",
            )
        hottest = ZERO + 150
        if not self.wax.liquidus <= self.pour <= hottest:
            found.add(
                "wax.pour",
                f"Wax at {self.pour - ZERO:.0f} °C does not pour.",
                f"Give between {self.wax.liquidus - ZERO:.0f} and {hottest - ZERO:.0f} °C.",
            )
        if not ZERO - 30 <= self.vessel <= hottest:
            found.add("vessel.preheat", "The vessel's temperature is not possible.", "Correct it.")
        if self.place.room > self.wax.congealing().solidus - 1.0:
            found.add(
                "place.room",
                "In a room this warm the wax never sets.",
                f"Stay below {self.wax.congealing().solidus - ZERO - 1:.0f} °C.",
            )
        found.check()

    def changed(self, **place: object) -> Setting:
        """Return the same jar standing elsewhere: fields of `Place`."""
        return replace(self, place=replace(self.place, **place))  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class Doubt:
    """One draw of what is uncertain: factors [1], and the convection factor itself."""

    sway: Sway = field(default_factory=Sway)
    latent: float = 1.0
    conduct: float = 1.0
    undercooling: float = 1.0
    mixing: float = MIXING
    shrink: float = 1.0


@dataclass(frozen=True)
class Poured:
    """A setting made into arrays: wax as it congeals, its curve, grid, parts, first state."""

    wax: WaxThermal
    line: Curve
    grid: Grid
    parts: Parts
    state: Array


def shell_of(material: str) -> ShellFacts:
    """Return the heat facts of a vessel material; `Setting.check` has vetted the name."""
    return MATERIALS[material]


def pour(setting: Setting, *, columns: int, rows: int, doubt: Doubt | None = None) -> Poured:
    """Return the arrays of a poured jar on a grid of columns × rows."""
    setting.check()
    doubt = doubt or Doubt()
    shell = shell_of(setting.material)
    wax = setting.wax.scaled(latent=doubt.latent, conduct=doubt.conduct)
    wax = wax.shifted(-wax.undercooling * doubt.undercooling)
    line = curve(wax, mixing=doubt.mixing)
    grid = vessel_grid(
        setting.profile,
        fill=setting.fill,
        wall=setting.wall,
        base=setting.base,
        columns=columns,
        rows=rows,
    )
    depth = float(setting.profile.depth)
    outside = 2 * setting.wall + max(float(s.diameter) for s in setting.profile.stations)
    faces = airs(
        setting.place,
        shell,
        diameter=outside,
        height=depth + setting.base,
        rim=depth - setting.fill,
        sway=doubt.sway,
    )
    hot = line.enthalpy(setting.pour)
    density = 1.0 / float(specific_volume(wax, line, np.asarray(hot)))
    parts = assemble(grid, line, density=density, shell=shell, airs=faces)
    return Poured(wax, line, grid, parts, start_state(parts, enthalpy=hot, shell=setting.vessel))

"""From a net mass and a vessel to what the front declares, and how large."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import floor

from rushlight.candle.parts import Vessel
from rushlight.hazard.netcontents import declare
from rushlight.hazard.netcontents.emark import Marking, marking
from rushlight.hazard.netcontents.panel import TypeHeight, cylinder, type_height
from rushlight.press.labels.design import TIE
from rushlight.quantity.si import Kilogram, Metre

_GRAM = 1e-3  # [kg]
_ROUNDING = 1e-9


class Mark(StrEnum):
    """Whether the ℮ stands beside the quantity; it says that 76/211/EEC is followed."""

    NONE = "none"
    ESTIMATED = "℮"


@dataclass(frozen=True, slots=True, kw_only=True)
class Net:
    """A declaration as printed, and the rule for its height: `Front` takes all three."""

    text: str
    panel: TypeHeight | None = None
    marking: Marking | None = None


def for_us(mass: Kilogram, vessel: Vessel) -> Net:
    """Return the dual declaration of a mass [kg], rounded down, for the panel of a vessel.

    The panel is 40 % of the outer height × circumference of a cylinder (16 CFR 500.21); of
    a vessel that tapers, the widest place counts, which asks for the larger letters.
    """
    return Net(text=declare.holds(mass).text, panel=type_height(panel_of(vessel)))


def panel_of(vessel: Vessel) -> float:
    """Return the area [m²] of a vessel's principal display panel, by its widest place."""
    widest = max(station.diameter for station in vessel.profile.stations) + 2 * vessel.wall
    return cylinder(Metre(widest), Metre(vessel.profile.depth + vessel.base))


def metric(mass: Kilogram, mark: Mark = Mark.NONE) -> Net:
    """Return the nominal quantity of a mass [kg] in whole grams, rounded down.

    Raises BadInput outside 5 g to 10 kg, the scope of 76/211/EEC.
    """
    grams = floor(mass / _GRAM + _ROUNDING)
    heights = marking(Kilogram(grams * _GRAM))
    sign = f"{TIE}℮" if mark is Mark.ESTIMATED else ""
    return Net(text=f"{grams}{TIE}g{sign}", marking=heights)

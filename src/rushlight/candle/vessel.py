"""How much a vessel holds, and which figure is believed.

What was weighed beats what was stated, and what was stated beats what follows from
the measured shape: a scale errs by a gram, a catalogue by a few millilitres, a ruler
inside a jar by a few per cent. The shape is kept for heights; its volumes are scaled.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from rushlight.candle import water
from rushlight.candle.parts import Vessel, VolumeFrom
from rushlight.candle.plan import ROUND, Plan
from rushlight.candle.profile import Profile, straight
from rushlight.errors import BadInput
from rushlight.quantity.si import CubicMetre, Kelvin, Kilogram, Metre

ASSUMED_SLENDERNESS = 1.15
"""Depth over diameter of the plain jar drawn when only a volume is known; of the order
of common tumblers (common practice)."""
SAME_SHAPE = 0.02
"""A typical shape is this near a stated volume [1] before it counts as only assumed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """What a vessel is made of: name, wall and base thickness [m], material; its plan."""

    name: str
    wall: Metre = Metre(0.003)
    base: Metre = Metre(0.005)
    material: str = "glass"
    combustible: bool = False
    annealed: bool | None = None
    plan: Plan = ROUND


def vessel(  # noqa: PLR0913  each is one thing a maker may or may not know
    make: Make,
    *,
    profile: Profile | None = None,
    stated: CubicMetre | None = None,
    water_mass: Kilogram | None = None,
    water_at: Kelvin = water.ROOM,
    typical_shape: bool = False,
) -> Vessel:
    """Return a vessel from whatever is known of its inside.

    profile; stated brim volume [m³]; water to the brim [kg] at a temperature [K].
    typical_shape: the profile is that of the kind, not of this vessel; where a volume
    differs from it, it is made larger or smaller as a whole.
    """
    shaped = None if profile is None else CubicMetre(profile.brim_volume * make.plan.area)
    volume, volume_from = _volume(shaped, stated, water_mass, water_at)
    shape_known = profile is not None
    if profile is None:
        profile = assumed(CubicMetre(volume / make.plan.area))
    elif typical_shape:
        ratio = volume / (profile.brim_volume * make.plan.area)
        shape_known = abs(ratio - 1) <= SAME_SHAPE
        profile = profile.similar(ratio ** (1 / 3))
    return Vessel(
        name=make.name,
        profile=profile,
        brim_volume=volume,
        volume_from=volume_from,
        shape_known=shape_known,
        wall=make.wall,
        base=make.base,
        material=make.material,
        combustible=make.combustible,
        annealed=make.annealed,
        plan=make.plan,
    )


def _volume(
    shaped: CubicMetre | None,
    stated: CubicMetre | None,
    water_mass: Kilogram | None,
    water_at: Kelvin,
) -> tuple[CubicMetre, VolumeFrom]:
    if water_mass is not None:
        return water.volume(water_mass, water_at), VolumeFrom.WATER
    if stated is not None:
        return stated, VolumeFrom.STATED
    if shaped is not None:
        return shaped, VolumeFrom.PROFILE
    raise BadInput.one(
        "Nothing says how much the vessel holds.",
        'Give its brim volume (brim = "8 fl oz"), the water it holds (water = "236 g"),'
        " or its inner height and diameter.",
        "brim",
    )


def assumed(volume: CubicMetre) -> Profile:
    """Return a plain straight jar of a volume [m³], for when no shape is known."""
    diameter = (4 * volume / (pi * ASSUMED_SLENDERNESS)) ** (1 / 3)
    return straight(depth=Metre(diameter * ASSUMED_SLENDERNESS), diameter=Metre(diameter))

"""How full: from headspace, line, percentage or net weight to a mass and two levels."""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.candle.parts import Fill, FillBy, FillState, Vessel
from rushlight.errors import BadInput
from rushlight.quantity.si import CubicMetre, Density, Kilogram, Metre


@dataclass(frozen=True, slots=True)
class Level:
    """The mass in one jar [kg], and the volumes [m³] and heights [m] hot and set.

    The set height is that of a flat top; a dip round the wick lies below it.
    """

    mass: Kilogram
    hot_volume: CubicMetre
    hot_height: Metre
    set_volume: CubicMetre
    set_height: Metre


def level(vessel: Vessel, fill: Fill, *, hot: Density, cold: Density) -> Level:
    """Return how much goes into a vessel for a fill.

    hot, cold: density of the mix as poured and when set [kg/m³]. The fill's own
    state says which of the two its level is measured in.
    """
    mass = _mass(vessel, fill, hot=hot, cold=cold)
    # A brim-full pour may overshoot by a rounding error; no more than that is forgiven.
    hot_volume, set_volume = mass / hot, mass / cold
    if max(hot_volume, set_volume) > vessel.brim_volume * (1 + 1e-12):
        raise _over(vessel, fill, max(hot_volume, set_volume))
    hot_volume = CubicMetre(min(hot_volume, vessel.brim_volume))
    set_volume = CubicMetre(min(set_volume, vessel.brim_volume))
    return Level(
        mass,
        hot_volume,
        vessel.height_at(hot_volume),
        set_volume,
        vessel.height_at(set_volume),
    )


def _mass(vessel: Vessel, fill: Fill, *, hot: Density, cold: Density) -> Kilogram:
    if fill.by is FillBy.NET:
        return Kilogram(fill.amount)
    density = hot if fill.state is FillState.HOT else cold
    return Kilogram(_volume(vessel, fill) * density)


def _volume(vessel: Vessel, fill: Fill) -> CubicMetre:
    if fill.by is FillBy.PERCENT:
        return CubicMetre(vessel.brim_volume * fill.amount)
    depth = vessel.profile.depth
    height = depth - fill.amount if fill.by is FillBy.HEADSPACE else fill.amount
    if not 0 < height <= depth:
        raise BadInput.one(
            f"The vessel is {depth * 1000:.0f} mm deep inside; "
            f"{fill.amount * 1000:.0f} mm does not leave a fill.",
            "Give less than the inner depth, or measure the depth again.",
            f"fill.{fill.by.value}",
        )
    return vessel.volume_below(Metre(height))


def _over(vessel: Vessel, fill: Fill, volume: float) -> BadInput:
    when = "Poured hot, it" if fill.state is FillState.SET or fill.by is FillBy.NET else "It"
    return BadInput.one(
        f"{when} would take {volume * 1e6:.0f} ml and the vessel holds "
        f"{vessel.brim_volume * 1e6:.0f} ml to the brim.",
        "Leave more headspace or fill less; wax shrinks as it sets.",
        f"fill.{fill.by.value}",
    )

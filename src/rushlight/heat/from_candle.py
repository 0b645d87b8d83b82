"""From a candle's sheet to the heat models: what is known of it, the rest by its kind."""

from __future__ import annotations

from dataclasses import replace

from rushlight.candle.parts import Thermal, Wax
from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput
from rushlight.heat.burn_run import Burning
from rushlight.heat.enthalpy import ZERO, WaxThermal
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.setting import Setting
from rushlight.heat.surroundings import Place
from rushlight.heat.waxes import MELTS_AT, thermal


def wax_of(wax: Wax) -> WaxThermal:
    """Return the heat facts of a wax: what is said of it, the rest by its kind.

    Taken from the candle: liquid density and where it holds, expansion, both heat
    capacities and conductivities, the melting heat, which scales every transition of the
    kind, and the melting range. Where no solidus or liquidus is said, the melting point
    moves those of the kind. By its kind go undercooling, the shrinkage of the solid
    without pores, its expansion and the heat of combustion.
    """
    kind, said = thermal(wax.kind), wax.thermal
    moved = kind.shifted(float(wax.melts_at) - MELTS_AT[kind.name])
    solidus, liquidus = _said(said.solidus, moved.solidus), _said(said.liquidus, moved.liquidus)
    _check_melting(solidus, liquidus, said)
    melting = moved.melting_between(solidus, liquidus)
    return replace(
        melting.scaled(latent=wax.melting_heat / kind.latent),
        name=wax.name,
        density_liquid=float(wax.density_hot),
        density_at=float(wax.density_hot_at),
        expansion_liquid=wax.expansion,
        heat_liquid=wax.heat_capacity,
        heat_solid=_said(said.heat_set, kind.heat_solid),
        conduct_liquid=_said(said.conductivity, kind.conduct_liquid),
        conduct_solid=_said(said.conductivity_set, kind.conduct_solid),
    )


def _check_melting(solidus: float, liquidus: float, said: Thermal) -> None:
    """Refuse an end said alone that lies beyond the other one of the kind."""
    if solidus <= liquidus:
        return
    raise BadInput.one(
        f"The solidus, {solidus - ZERO:.1f} °C, is above the liquidus, {liquidus - ZERO:.1f} °C.",
        "Give both, the lower one as the solidus: nothing is liquid below it.",
        "wax.solidus" if said.solidus is not None else "wax.liquidus",
    )


def _said(value: float | None, by_kind: float) -> float:
    return by_kind if value is None else value


def setting_of(
    sheet: JarSheet,
    *,
    place: Place | None = None,
    pour: float | None = None,
    vessel: float | None = None,
) -> Setting:
    """Return the setting of a candle from its sheet.

    place: where it stands (alone on wood at 21 °C unless said); pour, vessel [K]:
    the sheet's pour temperature, and the room's, unless said.
    """
    place = place or Place()
    jar = sheet.candle.vessel
    return Setting(
        profile=jar.profile,
        fill=float(sheet.fill_height),
        wall=float(jar.wall),
        base=float(jar.base),
        material=jar.material,
        wax=wax_of(sheet.candle.wax),
        pour=float(sheet.pour_at) if pour is None else pour,
        vessel=place.room if vessel is None else vessel,
        place=place,
    )


def burning_of(sheet: JarSheet, *, grams_per_hour: float, place: Place | None = None) -> Burning:
    """Return the candle of a sheet, set and lit; grams_per_hour: what its wick burns [g/h].

    Raises BadInput for more than one wick: the model knows one in the middle.
    """
    candle = sheet.candle
    if candle.wick.count != 1:
        raise BadInput.one(
            f"The burn model takes one wick; this candle has {candle.wick.count}.",
            "Forecast it with one wick, or rely on test burns.",
            "wick.count",
        )
    jar = candle.vessel
    return Burning(
        profile=jar.profile,
        fill=float(sheet.set_height),
        wall=float(jar.wall),
        base=float(jar.base),
        material=jar.material,
        wax=wax_of(candle.wax),
        density=float(sheet.density_set),
        rate=grams_per_hour * GRAMS_PER_HOUR,
        place=place or Place(),
        core=candle.wick.core,
    )

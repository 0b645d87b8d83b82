"""What would change the setting: preheat, room, spacing, draught, refrigerator, pour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from rushlight.heat.enthalpy import ZERO
from rushlight.heat.set import COARSE, SetFigures, forecast
from rushlight.heat.setting import Setting
from rushlight.heat.surroundings import REFRIGERATOR, Stand

PREHEAT = ZERO + 45.0  # 35–60 °C, common practice
CLOSE, APART = 0.010, 0.075  # between jars [m]; 50–100 mm apart, common practice
COOLER, HOTTER = 5.0, 10.0  # steps of room and of pour shown [K]


@dataclass(frozen=True)
class Effect:
    """One change: what was changed, the figures after it, and the sinkhole chance [1]."""

    change: str
    figures: SetFigures
    sinkhole: float


def variants(setting: Setting) -> Iterator[tuple[str, Setting]]:
    """Yield each change worth knowing with the setting it makes, the setting itself first."""
    yield "as it is", setting
    yield "vessel preheated", replace(setting, vessel=max(PREHEAT, setting.vessel))
    yield "hotter pour", replace(setting, pour=setting.pour + HOTTER)
    if setting.pour - HOTTER > setting.wax.liquidus:
        yield "cooler pour", replace(setting, pour=setting.pour - HOTTER)
    yield "cooler room", setting.changed(room=setting.place.room - COOLER)
    yield "jars close together", setting.changed(gap=CLOSE)
    yield "jars well apart", setting.changed(gap=APART)
    yield "in a draught", setting.changed(draught=2.0 * setting.place.draught)
    yield "on a wire rack", setting.changed(stand=Stand.RACK)
    yield "in the refrigerator", replace(setting, place=REFRIGERATOR)


def effects(setting: Setting, *, members: int = 0, cell: float = COARSE) -> tuple[Effect, ...]:
    """Return how each change would alter the setting, all on one coarse grid."""
    found = []
    for change, other in variants(setting):
        seen = forecast(other, members=members, cell=cell, coarse=cell)
        found.append(Effect(change, seen.figures, seen.sinkhole))
    return tuple(found)

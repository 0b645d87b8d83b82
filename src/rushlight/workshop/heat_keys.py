"""The figures of a forecast under stable names with their unit, for JSON and tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from math import isfinite

from rushlight.heat.burn import BurnFigures
from rushlight.heat.ensemble import Spread
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.set import SetFigures

Keys = Mapping[str, tuple[str, str, float, float]]
"""Figure: name, unit, factor and what is taken off first."""

SET: Keys = {
    "skin": ("time_to_skin", "s", 1.0, 0.0),
    "closes": ("time_to_close", "s", 1.0, 0.0),
    "whole": ("time_to_set", "s", 1.0, 0.0),
    "movable": ("time_to_move", "s", 1.0, 0.0),
    "last_radius": ("last_radius", "mm", 1e3, 0.0),
    "last_height": ("last_height", "mm", 1e3, 0.0),
    "enclosed": ("enclosed_mass", "g", 1e3, 0.0),
    "cavity": ("cavity", "ml", 1e6, 0.0),
    "cavity_share": ("cavity", "percent", 100.0, 0.0),
    "dip": ("dip", "mm", 1e3, 0.0),
    "relief": ("relief_mass", "g", 1e3, 0.0),
    "relief_at": ("relief_due", "s", 1.0, 0.0),
    "wall_rate": ("wall_cooling", "k_min", 1.0, 0.0),
}
BURN: Keys = {
    "full_at": ("time_to_full_pool", "s", 1.0, 0.0),
    "pool": ("pool_diameter", "mm", 1e3, 0.0),
    "pool_share": ("pool_of_width", "percent", 100.0, 0.0),
    "depth": ("pool_depth", "mm", 1e3, 0.0),
    "wall": ("wall_temperature", "c", 1.0, ZERO),
    "wall_height": ("wall_hottest_height", "mm", 1e3, 0.0),
    "wall_at": ("wall_hottest", "s", 1.0, 0.0),
    "flame": ("flame_height", "mm", 1e3, 0.0),
    "power": ("flame_power", "w", 1.0, 0.0),
    "left": ("wax_left_mass", "g", 1e3, 0.0),
    "hang": ("hang_up", "mm", 1e3, 0.0),
}


def number(value: float) -> float | None:
    """Return a number to nine digits; None for what does not come about."""
    return float(f"{value:.9g}") if isfinite(value) else None


def named(figures: SetFigures | BurnFigures) -> dict[str, float | None]:
    """Return the figures of one run under their names."""
    keys = SET if isinstance(figures, SetFigures) else BURN
    return renamed(asdict(figures), keys)


def renamed(figures: Mapping[str, float], keys: Keys) -> dict[str, float | None]:
    """Return figures [SI] under their names, in the units these say."""
    return {
        f"{name}_{unit}": number((figures[key] - off) * factor)
        for key, (name, unit, factor, off) in keys.items()
        if key in figures
    }


def spreads(found: Mapping[str, Spread], keys: Keys) -> dict[str, float | None]:
    """Return each figure with its low and high end."""
    made = {}
    for key, (name, unit, factor, off) in keys.items():
        spread = found[key]
        made[f"{name}_{unit}"] = number((spread.likely - off) * factor)
        made[f"{name}_low_{unit}"] = number((spread.low - off) * factor)
        made[f"{name}_high_{unit}"] = number((spread.high - off) * factor)
    return made

"""A sheet as JSON: stable keys, each with its unit. A test keeps the list of keys.

Units: g, ml, mm, kg_m3, c (°C), k (a temperature difference), s, percent.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from rushlight.candle.parts import Window
from rushlight.candle.sheet import BatchLine, BatchSheet, JarSheet, Line, Windows

if TYPE_CHECKING:
    from rushlight.workshop.candles import Supply
    from rushlight.workshop.materials import Amount

_DIGITS = 9  # beyond any scale; drops the noise of binary fractions
_ICE = 273.15


def shaped(sheet: BatchSheet, supplies: Iterable[Supply] | None = None) -> dict[str, Any]:
    """Return the sheet of a batch, the supplies beside it where there is a workshop."""
    made = {
        "candle": sheet.jar.candle.name,
        "jar": _jar(sheet.jar),
        "windows": _windows(sheet.jar.windows),
        "batch": _batch(sheet),
        "cautions": [
            {
                "place": caution.place,
                "weight": caution.weight.value,
                "what": caution.what,
                "remedy": caution.remedy,
                "source": caution.source,
            }
            for caution in (*sheet.jar.cautions, *sheet.cautions)
        ],
    }
    if supplies is not None:
        made["supplies"] = [_supply(supply) for supply in supplies]
    return made


def _jar(jar: JarSheet) -> Mapping[str, Any]:
    return {
        "vessel": jar.candle.vessel.name,
        "wax": jar.candle.wax.name,
        "wick": jar.candle.wick.name,
        "wicks": jar.candle.wick.count,
        "brim_volume_ml": _ml(jar.brim_volume),
        "fill_volume_ml": _ml(jar.fill_volume),
        "fill_percent": _percent(jar.fill_fraction),
        "fill_height_mm": _mm(jar.fill_height),
        "headspace_mm": _mm(jar.headspace),
        "set_volume_ml": _ml(jar.set_volume),
        "set_height_mm": _mm(jar.set_height),
        "set_headspace_mm": _mm(jar.set_headspace),
        "density_hot_kg_m3": _round(jar.density_hot),
        "density_set_kg_m3": _round(jar.density_set),
        "density_used_kg_m3": _round(jar.density_used),
        "density_used_state": jar.density_state.value,
        "fill_mass_g": _g(jar.fill_mass),
        "wax_mass_g": _g(jar.wax_mass),
        "fragrance_mass_g": _g(jar.fragrance_mass),
        "load_of_wax_percent": _percent(jar.load_of_wax),
        "load_of_total_percent": _percent(jar.load_of_total),
        "wick_length_mm": _mm(jar.wick_length),
        "wick_cut_mm": _mm(jar.wick_cut),
        "lines": [_line(line) for line in jar.lines],
        "outside": [_line(line) for line in jar.finishes],
    }


def _line(line: Line) -> Mapping[str, Any]:
    return {
        "role": line.role.value,
        "name": line.name,
        "mass_g": _g(line.mass),
        "of_total_percent": _percent(line.of_total),
    }


def _windows(windows: Windows) -> Mapping[str, Any]:
    flash, gap = windows.lowest_flash, windows.flash_gap
    return {
        **_window("melt", windows.melt),
        **_window("add", windows.add),
        **_window("pour", windows.pour),
        "stir_s": _round(windows.stir.aim),
        "stir_low_s": _round(windows.stir.low),
        "stir_high_s": _round(windows.stir.high),
        "cure_s": _round(windows.cure.aim),
        "cure_low_s": _round(windows.cure.low),
        "cure_high_s": _round(windows.cure.high),
        "lowest_flash_point_c": None if flash is None else _c(flash),
        "flash_gap_k": None if gap is None else _round(gap),
    }


def _window(name: str, window: Window) -> Mapping[str, float]:
    return {
        f"{name}_temperature_c": _c(window.aim),
        f"{name}_temperature_low_c": _c(window.low),
        f"{name}_temperature_high_c": _c(window.high),
    }


def _batch(sheet: BatchSheet) -> Mapping[str, Any]:
    capacity = sheet.batch.capacity
    return {
        "jars": sheet.batch.jars,
        "spares": sheet.batch.spares,
        "jars_poured": sheet.jars_poured,
        "pots": sheet.pots,
        "capacity_g": None if capacity is None else _g(capacity),
        "readability_g": _g(sheet.batch.readability),
        "spill_percent": _percent(sheet.batch.spill),
        "jars_mass_g": _g(sheet.jars_mass),
        "residue_mass_g": _g(sheet.residue_mass),
        "spill_mass_g": _g(sheet.spill_mass),
        "pot_mass_g": _g(sheet.pot_mass),
        "total_mass_g": _g(sheet.total_mass),
        "lines": [_batch_line(line) for line in sheet.lines],
        "outside": [_batch_line(line) for line in sheet.outside],
        "pieces": [
            {"role": p.role.value, "name": p.name, "pieces": p.pieces, "note": p.note}
            for p in sheet.pieces
        ],
    }


def _batch_line(line: BatchLine) -> Mapping[str, Any]:
    return {
        "role": line.role.value,
        "name": line.name,
        "exact_mass_g": _g(line.exact),
        "pot_mass_g": _g(line.pot),
        "total_mass_g": _g(line.total),
        "counted": line.counted,
    }


def _supply(supply: Supply) -> Mapping[str, Any]:
    measure = supply.needed.measure.value
    return {
        "role": supply.role,
        "name": supply.name,
        "material": supply.slug,
        "measure": measure,
        **_amount("needed", supply.needed, measure),
        **_amount("on_hand", supply.on_hand, measure),
        **_amount("promised", supply.promised, measure),
        **_amount("short", supply.short, measure),
    }


def _amount(name: str, amount: Amount | None, measure: str) -> Mapping[str, Any]:
    """Return an amount under the key of its unit; None where nothing is known of it."""
    if measure == "pieces":
        return {f"{name}_pieces": None if amount is None else amount.pieces}
    return {f"{name}_mass_g": None if amount is None else _g(amount.mass)}


def _round(value: float) -> float:
    return round(float(value), _DIGITS)


def _g(kilogram: float) -> float:
    return _round(kilogram * 1e3)


def _ml(cubic_metre: float) -> float:
    return _round(cubic_metre * 1e6)


def _mm(metre: float) -> float:
    return _round(metre * 1e3)


def _c(kelvin: float) -> float:
    return _round(kelvin - _ICE)


def _percent(fraction: float) -> float:
    return _round(fraction * 100)

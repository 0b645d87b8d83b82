"""Flammable liquids (CLP Annex I, 2.6): neat oils; a set candle is a solid."""

from __future__ import annotations

from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Form, Mixture
from rushlight.quantity.si import Kelvin

ZERO_CELSIUS = 273.15  # [K], by definition


def category(mixture: Mixture, law: Law) -> tuple[str, str] | None:
    """Return class and words of a liquid's flammability by flash point; None where none holds.

    A boiling point that is not known counts as above 35 °C, as fragrance oils boil far higher.
    """
    if mixture.form is Form.SOLID or mixture.flash_point is None:
        return None
    flash = _celsius(mixture.flash_point)
    boils = None if mixture.boiling_point is None else _celsius(mixture.boiling_point)
    for row in table("flammable")["category"]:
        if law.value not in row["laws"]:
            continue
        low = "flash_below" in row
        inside = flash < row["flash_below"] if low else flash <= row["flash_up_to"]
        boiling = "boils_up_to" not in row or (boils is not None and boils <= row["boils_up_to"])
        if inside and boiling:
            bound = row["flash_below"] if low else row["flash_up_to"]
            words = f"Flash point {flash:.4g} °C, {'below' if low else 'up to'} {bound:g} °C."
            return row["result"], words
    return None


def _celsius(temperature: Kelvin) -> float:
    return round(temperature - ZERO_CELSIUS, 9)

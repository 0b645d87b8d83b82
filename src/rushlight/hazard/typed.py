"""A safety data sheet as it is kept: the fields as typed, section 3 as pasted rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from rushlight.errors import BadInput, Problems
from rushlight.hazard.cells import number, read_ph
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.quantity import parse
from rushlight.quantity.si import Kelvin

SQUARE_MILLIMETRE = 1e-6  # [m²]
FIELDS = (
    "rows",
    "flash_point",
    "flash_method",
    "boiling_point",
    "viscosity",
    "ph",
    "dated",
    "supplier",
    "attached",
    "note",
)
Value = TypeVar("Value")


def read_sheet(name: str, typed: Mapping[str, str]) -> SafetySheet:
    """Return a safety data sheet from its typed fields, or every problem at once.

    rows: section 3 as pasted; flash_point, boiling_point: "93 C"; viscosity: kinematic at
    40 °C, "12 mm2/s"; ph; the rest is kept as it is. Only the rows are required.
    """
    problems = Problems()

    def read(field: str, reader: Callable[[str], Value]) -> Value | None:
        text = typed.get(field, "").strip()
        if not text:
            return None
        try:
            return reader(text)
        except BadInput as bad:
            problems.extend(bad.at(field).problems)
            return None

    for field in sorted(typed.keys() - set(FIELDS)):
        problems.add(field, f"“{field}” is not a field of a sheet.", f"Use {', '.join(FIELDS)}.")
    pasted = read_rows(typed.get("rows", ""))
    problems.extend(pasted.problems)
    flash, boils = read("flash_point", _temperature), read("boiling_point", _temperature)
    viscosity, ph = read("viscosity", _viscosity), read("ph", read_ph)
    problems.check()
    return SafetySheet(
        name=name,
        components=pasted.components,
        flash_point=flash,
        flash_method=typed.get("flash_method", "").strip(),
        boiling_point=boils,
        viscosity=viscosity,
        ph=ph,
        dated=typed.get("dated", "").strip(),
        supplier=typed.get("supplier", "").strip(),
        attached=typed.get("attached", "").strip(),
        note=typed.get("note", "").strip(),
    )


def _temperature(text: str) -> Kelvin:
    """Temperature [K]; "> 93 C" is read as 93 °C, the cautious end, "< 60 C" cannot be."""
    if text.startswith(("<", "≤")):
        raise BadInput.one(
            f"“{text}” does not say how low.", "Type the figure, or ask the supplier for it."
        )
    return parse.temperature(text.lstrip(">≥= "))


def _viscosity(text: str) -> float:
    """Kinematic viscosity [m²/s] of "12 mm2/s", "12 mm²/s" or "12 cSt"."""
    stem = text.strip().lower()
    for unit in ("mm2/s", "mm²/s", "cst"):
        if stem.endswith(unit):
            value = number(stem.removesuffix(unit), what="a viscosity")
            if value > 0.0:
                return value * SQUARE_MILLIMETRE
    raise BadInput.one(
        f"“{text}” is not a kinematic viscosity.", "Type it with its unit, such as 12 mm2/s."
    )

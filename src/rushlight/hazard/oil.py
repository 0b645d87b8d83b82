"""A safety data sheet of a fragrance oil, a dye or another liquid or solid."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import fsum

from rushlight.errors import Problem
from rushlight.hazard.component import Component
from rushlight.quantity.si import Fraction1, Kelvin

ROUNDING = 1e-9  # of a sum of shares


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetySheet:
    """What a safety data sheet says of an oil or dye.

    flash_point, boiling_point [K]; viscosity: kinematic at 40 °C [m²/s]; ph of the whole [1].
    attached: name under which the sheet itself is kept, if it is.
    """

    name: str
    components: tuple[Component, ...] = ()
    flash_point: Kelvin | None = None
    flash_method: str = ""
    boiling_point: Kelvin | None = None
    viscosity: float | None = None
    ph: float | None = None
    dated: str = ""
    supplier: str = ""
    attached: str = ""
    note: str = field(default="")

    @property
    def listed(self) -> Fraction1:
        """Sum of the upper ends of all components [1]; may pass 1 where ranges are wide."""
        return Fraction1(fsum(component.high for component in self.components))

    @property
    def unlisted(self) -> Fraction1:
        """Share the sheet does not list [1]; taken as not classified, and said so."""
        return Fraction1(max(0.0, 1.0 - self.listed))


def problems_of(sheet: SafetySheet, *, place: str = "components") -> tuple[Problem, ...]:
    """Return what cannot be right in a sheet: sums over 100 %, doubled lines."""
    found = []
    least = fsum(component.low for component in sheet.components)
    if least > 1.0 + ROUNDING:
        found.append(
            Problem(
                place,
                f"The lower ends of {sheet.name} already add up to {least * 100:.4g} %.",
                "Check the percentages: together they cannot pass 100 %.",
            )
        )
    seen: dict[str, int] = {}
    for at, component in enumerate(sheet.components):
        first = seen.setdefault(component.key, at)
        if first != at and _overlap(sheet.components[first], component):
            found.append(
                Problem(
                    f"{place}.{at}.range",
                    f"{component.name} is listed twice with overlapping ranges"
                    f" (also in row {first + 1}).",
                    "If the sheet really has both, add them up in one row; else delete one.",
                )
            )
    return tuple(found)


def _overlap(one: Component, other: Component) -> bool:
    """Tell whether two true ranges (not single figures) share more than an end."""
    ranged = one.low < one.high and other.low < other.high
    return ranged and max(one.low, other.low) < min(one.high, other.high)

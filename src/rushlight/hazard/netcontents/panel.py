"""The principal display panel and the least height of the net weight (16 CFR 500.21)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import pi

from rushlight.hazard.data import net_table
from rushlight.quantity.si import Metre

INCH = 0.0254  # [m], exact (NIST Handbook 44, Appendix C)
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class TypeHeight:
    """Least height of the declaration [m], as the rule prints it in inches; panel area [m²]."""

    area: float
    height: Metre
    inches: str
    placement: tuple[str, ...]
    paragraph: str
    source: str


def rectangle(width: Metre, height: Metre) -> float:
    """Return the panel area [m²] of a flat side [m]."""
    return width * height


def cylinder(diameter: Metre, height: Metre) -> float:
    """Return the panel area [m²] of a cylinder: 40 % of height × circumference [m].

    Shoulders and necks are left out: height is that of the straight side.
    """
    share: float = net_table("us")["panel"]["cylinder_share"]
    return share * height * pi * diameter


def other(surface: float) -> float:
    """Return the panel area [m²] of another shape: 40 % of its whole surface [m²]."""
    share: float = net_table("us")["panel"]["other_share"]
    return share * surface


def type_height(area: float, *, printing: str = "printed") -> TypeHeight:
    """Return the least letter height for a panel area [m²]; printing "printed" or "embossed"."""
    data = net_table("us")["panel"]
    square_inches = area / INCH**2 * (1.0 - ROUNDING)
    row = next(r for r in data["row"] if square_inches <= r["up_to_in2"])
    inches = Fraction(row["height_in"])
    if printing == "embossed":
        inches += Fraction(data["embossed_extra_in"])
    return TypeHeight(
        area=area,
        height=Metre(float(inches) * INCH),
        inches=str(inches),
        placement=tuple(net_table("us")["placement"]["words"]),
        paragraph=data["paragraph"],
        source=data["source"],
    )

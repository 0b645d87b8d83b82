"""The declared net weight of a US consumer package, rounded down and never up (16 CFR 500)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from rushlight.errors import BadInput
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import net_table
from rushlight.quantity.si import Kilogram

THOUSAND = Decimal(1000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration:
    """A dual declaration: ounces and grams agree, and neither overstates the other.

    text: as printed. binding: the larger of the two, the one inspectors test [kg].
    """

    ounces: Decimal
    grams: Decimal
    text: str
    binding: Kilogram
    why: str
    paragraph: str
    source: str
    aid: str = WORKING_AID


def from_ounces(ounces: Decimal) -> Declaration:
    """Return the declaration led by ounces: 8 oz × 28.3495 = 226.796 is printed as 226 g.

    16 CFR 500.19: grams of three digits (two allowed below 100 g), rounded down.
    """
    _positive(ounces)
    places = -int(ounces.normalize().as_tuple().exponent)
    most = net_table("us")["digits"]["ounce_places_most"]
    if places > most:
        raise BadInput.one(
            f"{ounces} oz has more than {most} places.", "Round it down to three (16 CFR 500.17)."
        )
    exact = ounces * _factor("grams_per_ounce")
    return _declaration(
        ounces, _three_digits_down(exact), f"{ounces.normalize():f} oz is {exact:f} g"
    )


def from_grams(grams: Decimal, *, ounce_step: Decimal = Decimal("0.1")) -> Declaration:
    """Return the declaration led by grams: 180 g × 0.0352740 = 6.349 is printed as 6.3 oz.

    Grams are cut to three digits first; ounces are rounded down to `ounce_step`.
    """
    _positive(grams)
    shown = _three_digits_down(grams)
    exact = shown * _factor("ounces_per_gram")
    ounces = (exact / ounce_step).to_integral_value(ROUND_FLOOR) * ounce_step
    return _declaration(ounces, shown, f"{shown:f} g is {exact.normalize():f} oz")


def holds(net: Kilogram, *, ounce_step: Decimal = Decimal("0.1")) -> Declaration:
    """Return the largest declaration led by ounces that a net mass [kg] still holds."""
    grams = Decimal(str(net)) * THOUSAND
    _positive(grams)
    step = _factor("grams_per_ounce") * ounce_step
    ounces = (grams / step).to_integral_value(ROUND_FLOOR) * ounce_step
    return from_ounces(ounces)


def _declaration(ounces: Decimal, grams: Decimal, why: str) -> Declaration:
    data = net_table("us")["digits"]
    weight_of_ounces = ounces * _factor("grams_per_ounce")
    return Declaration(
        ounces=ounces,
        grams=grams,
        text=f"Net Wt {_customary(ounces)} ({_metric(grams)})",
        binding=Kilogram(float(max(weight_of_ounces, grams) / THOUSAND)),
        why=f"{why}; rounded down, a declaration may never overstate.",
        paragraph=data["paragraph"],
        source=data["source"],
    )


def _customary(ounces: Decimal) -> str:
    """Ounces below a pound; from there pounds and the remaining ounces (16 CFR 500.9)."""
    pound = _factor("ounces_per_pound")
    whole, rest = divmod(ounces, pound)
    if not whole:
        return f"{_plain(ounces)} oz"
    return f"{_plain(whole)} lb {_plain(rest)} oz" if rest else f"{_plain(whole)} lb"


def _metric(grams: Decimal) -> str:
    return f"{_plain(grams / THOUSAND)} kg" if grams >= THOUSAND else f"{_plain(grams)} g"


def _three_digits_down(grams: Decimal) -> Decimal:
    digits = net_table("us")["digits"]["shown"]
    step = Decimal(1).scaleb(grams.adjusted() - digits + 1)
    return (grams / step).to_integral_value(ROUND_FLOOR) * step


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _factor(name: str) -> Decimal:
    return Decimal(net_table("us")["factor"][name])


def _positive(value: Decimal) -> None:
    if not value > 0:
        raise BadInput.one("A net weight is more than 0.", "Type what one jar holds.")

"""A retail candle in the US: the Federal Hazardous Substances Act, said plainly."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from rushlight.hazard import WORKING_AID
from rushlight.hazard.criterion import TOLERANCE
from rushlight.hazard.data import table
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.rules import PERCENT
from rushlight.quantity.si import Kelvin, Metre

INCH = 0.0254  # [m], exact
SQUARE_INCH = INCH**2  # [m²], exact


@dataclass(frozen=True, slots=True)
class StrongSensitizer:
    """A listed strong sensitizer at or above its percentage."""

    name: str
    share: float
    limit: float
    paragraph: str


@dataclass(frozen=True, slots=True)
class TypeSizes:
    """Least letter heights of cautions [m] for a panel area, and as the rule prints them."""

    signal_word: Metre
    principal_hazard: Metre
    other: Metre
    inches: tuple[str, str, str]
    paragraph: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UsConsumer:
    """What can, and what cannot, be said of a candle under the FHSA."""

    plain: tuple[str, ...]
    elements: tuple[str, ...]
    sensitizers: tuple[StrongSensitizer, ...]
    oils: tuple[str, ...]
    types: TypeSizes | None
    source: str
    aid: str = WORKING_AID


def us_consumer(
    candle: Mixture, *, oils: tuple[SafetySheet, ...] = (), panel_area: float | None = None
) -> UsConsumer:
    """Return the FHSA view of a finished candle; panel_area [m²] of the display panel."""
    data = table("fhsa")
    return UsConsumer(
        plain=tuple(data["plain"]),
        elements=tuple(data["elements"]),
        sensitizers=strong_sensitizers(candle),
        oils=tuple(
            f"{oil.name}, neat: {flammability(oil.flash_point)}."
            for oil in oils
            if oil.flash_point is not None
        ),
        types=None if panel_area is None else type_sizes(panel_area),
        source=data["source"],
    )


def strong_sensitizers(mixture: Mixture) -> tuple[StrongSensitizer, ...]:
    """Return listed strong sensitizers of a product at or above their percentage."""
    data = table("fhsa")["sensitizer"]
    rows = {cas: row for row in data["row"] for cas in row["cas"]}
    found = []
    for ingredient in mixture.ingredients:
        row = rows.get(ingredient.cas)
        limit = row["percent"] * PERCENT if row else 0.0
        if row and ingredient.share >= limit * (1.0 - TOLERANCE) and ingredient.share > 0.0:
            found.append(StrongSensitizer(row["name"], ingredient.share, limit, data["paragraph"]))
    return tuple(found)


def flammability(flash_point: Kelvin) -> str:
    """Return the FHSA's word for a liquid's flash point [K]."""
    data = table("fhsa")["flammable"]
    fahrenheit = round(flash_point * 1.8 - 459.67, 6)
    if fahrenheit <= data["extremely_up_to"]:
        return "extremely flammable"
    if fahrenheit < data["flammable_below"]:
        return "flammable"
    return "combustible" if fahrenheit <= data["combustible_up_to"] else "not flammable by the rule"


def type_sizes(panel_area: float) -> TypeSizes:
    """Return least letter heights [m] of cautionary text by panel area [m²]."""
    data = table("fhsa")["type"]
    area = panel_area / SQUARE_INCH * (1.0 - TOLERANCE)
    at = next(i for i, most in enumerate(data["up_to_in2"]) if area <= most)
    words = (data["signal_word"][at], data["principal_hazard"][at], data["other"][at])
    first, second, third = (Metre(float(Fraction(text)) * INCH) for text in words)
    return TypeSizes(first, second, third, words, data["paragraph"], data["source"])

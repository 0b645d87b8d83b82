"""How a maker likes to read quantities. It changes what is shown, never what is kept."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Literal

from rushlight.errors import BadInput, Problems
from rushlight.quantity import parse
from rushlight.quantity.money import CURRENCIES
from rushlight.quantity.reading import quoted
from rushlight.quantity.si import Kilogram

MassUnit = Literal["g", "oz"]
VolumeUnit = Literal["ml", "fl oz"]
LengthUnit = Literal["mm", "in"]
TemperatureUnit = Literal["C", "F"]
DecimalMark = Literal[".", ","]

GRAM = Kilogram(0.001)
FINEST, COARSEST = Kilogram(1e-7), Kilogram(1.0)
CHOICES: dict[str, tuple[str, ...]] = {
    "mass": ("g", "oz"),
    "volume": ("ml", "fl oz"),
    "length": ("mm", "in"),
    "temperature": ("C", "F"),
    "decimal": (".", ","),
    "currency": tuple(CURRENCIES),
}


@dataclass(frozen=True, slots=True)
class Preference:
    """Units, decimal mark and currency to show; readability is the scale's step [kg]."""

    mass: MassUnit = "g"
    volume: VolumeUnit = "ml"
    length: LengthUnit = "mm"
    temperature: TemperatureUnit = "C"
    decimal: DecimalMark = "."
    currency: str = "GBP"
    readability: Kilogram = GRAM

    def __post_init__(self) -> None:
        """Refuse a scale that shows no step."""
        if not (math.isfinite(self.readability) and self.readability > 0):
            raise ValueError(f"readability must be more than zero, not {self.readability!r}")


METRIC = Preference()
US = Preference(mass="oz", volume="fl oz", length="in", temperature="F", currency="USD")


def read(words: Mapping[str, str], *, base: Preference = METRIC) -> Preference:
    """Return a preference from words, such as those of a settings form.

    words: by field name; those left out stay as in `base`, unknown names are
    not looked at. Readability is a mass, "0.1 g".
    Raises BadInput with every problem, each at its field's name.
    """
    problems = Problems()
    chosen: dict[str, object] = {field.name: getattr(base, field.name) for field in fields(base)}
    for name, allowed in CHOICES.items():
        word = words.get(name)
        if word is None:
            continue
        if word in allowed:
            chosen[name] = word
        else:
            choices = ", ".join(f"“{choice}”" for choice in allowed)
            problems.add(name, f"{quoted(word)} is not a choice here.", f"Choose from {choices}.")
    if "readability" in words:
        try:
            chosen["readability"] = _readability(words["readability"])
        except BadInput as error:
            problems.extend(error.at("readability").problems)
    problems.check()
    return Preference(**chosen)  # type: ignore[arg-type]  # checked against CHOICES above


def _readability(text: str) -> Kilogram:
    """Return a scale's step [kg], from 0.1 mg to 1 kg (from a laboratory's scale to a yard's)."""
    step = parse.mass(text)
    if not FINEST <= step <= COARSEST:
        raise BadInput.one(
            f"{quoted(text)} is not what a scale can show.",
            "Type the smallest step of your scale, such as “1 g”, “0.1 g” or “0.05 oz”.",
        )
    return step

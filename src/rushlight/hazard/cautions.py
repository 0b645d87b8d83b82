"""Cautions that come from hazard data: transport of the neat oil, and how to handle it.

Those that come from the design (wick, flash point against addition temperature,
decoration, vessel) are given with the weighed sheet in `rushlight.candle`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rushlight.candle.cautions_heat import flash_cautions
from rushlight.candle.parts import Oil
from rushlight.candle.said import temperature
from rushlight.candle.sheet import Caution, Weight
from rushlight.hazard.classify import classify
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import of_oil
from rushlight.hazard.oil import SafetySheet
from rushlight.quantity.si import Kelvin

ZERO_CELSIUS = 273.15  # [K], by definition
SAME = 0.6  # [K]: flash points this near are one figure rounded twice, in °C and °F
_CHECK = "Check section 14 of the safety data sheet before sending any."
_HANDLING = {
    "H304": "May be fatal if swallowed: keep it locked up and out of reach of children.",
    "H314": "Corrosive: wear gloves and eye protection when weighing it.",
    "H317": "Can make skin allergic: wear gloves when weighing it and wash off splashes.",
    "H318": "Can damage eyes: wear eye protection when weighing it.",
    "H334": "Can cause allergy by breathing: weigh it in moving air.",
}


def cautions(sheet: SafetySheet, *, place: str, law: Law = Law.EU) -> tuple[Caution, ...]:
    """Return cautions for a neat oil, each with its source; place: where on the candle."""
    found = classify(of_oil(sheet), Law.UN if law is Law.US else law)
    hazards = found.statements
    return (*_transport(sheet, hazards, place), *_handling(sheet, hazards, place))


def flash(oil: Oil, sheet: SafetySheet, *, add: Kelvin, place: str) -> Iterator[Caution]:
    """Yield what the sheet's flash point adds to that of the candle's own facts.

    The lower of the two is compared with the addition temperature `add` [K]; where they
    differ that is said. Nothing is said twice: the weighed sheet judges the candle's own.
    """
    at = f"{place}.flash_point"
    said, known = sheet.flash_point, oil.flash_point
    if said is None:
        return
    if known is not None and abs(said - known) > SAME:
        yield Caution(
            at,
            Weight.CAUTION,
            f"The sheet of {oil.name} gives a flash point of {temperature(said)}, the material's"
            f" own fact is {temperature(known)}.",
            "Correct the one that is wrong; until then the lower one counts.",
            "common practice",
        )
    if known is None or said < known - SAME:
        read = replace(oil, flash_point=said, flash_method=sheet.flash_method)
        yield from flash_cautions(read, at, add)


def _transport(sheet: SafetySheet, hazards: frozenset[str], place: str) -> Iterator[Caution]:
    data = table("transport")
    if sheet.flash_point is None:
        yield Caution(
            place,
            Weight.NOTE,
            f"The flash point of {sheet.name} is not known, so neither is its transport class.",
            "Read it in section 9, the class in section 14 of the safety data sheet.",
            "49 CFR 173.120",
        )
    else:
        flash = round(sheet.flash_point - ZERO_CELSIUS, 9)
        for row in data["class"]:
            if flash < row.get("below", float("-inf")) or flash <= row.get("up_to", float("-inf")):
                yield Caution(place, Weight.NOTE, row["what"], _CHECK, row["source"])
                break
    if hazards & set(data["aquatic"]["hazards"]):
        remedy = "Check section 14 of the safety data sheet before sending any."
        yield Caution(
            place, Weight.NOTE, data["aquatic"]["what"], remedy, data["aquatic"]["source"]
        )


def _handling(sheet: SafetySheet, hazards: frozenset[str], place: str) -> Iterator[Caution]:
    for code in sorted(hazards & _HANDLING.keys()):
        what, remedy = _HANDLING[code].split(": ")
        yield Caution(
            place,
            Weight.CAUTION,
            f"{sheet.name}, neat ({code}): {what[0].lower()}{what[1:]}.",
            f"{remedy[0].upper()}{remedy[1:]}",
            "classification of the neat oil from section 3 of its sheet; common practice",
        )

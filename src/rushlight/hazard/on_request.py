"""EUH210: a sheet on request, for unclassified mixtures that the public does not buy.

CLP Annex II, 2.10. A retail candle is sold to the public and never carries it; a blend handed
to another maker may.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from rushlight.hazard.classes import known
from rushlight.hazard.classify import Classification
from rushlight.hazard.criterion import TOLERANCE
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Ingredient
from rushlight.hazard.rules import PERCENT, specific_limit
from rushlight.hazard.sensitisation import elicitation_limit
from rushlight.quantity.si import Fraction1

_PHYSICAL = "flammable"


@dataclass(frozen=True, slots=True)
class Trigger:
    """A substance that calls for EUH210: its share and the limit [1]."""

    name: str
    share: Fraction1
    limit: Fraction1
    paragraph: str


def triggers(found: Classification, *, audience: str) -> tuple[Trigger, ...]:
    """Return what calls for EUH210; nothing for the public, or for what is classified."""
    data = table("on_request")
    if audience == "public" or found.findings or found.law.value not in data["laws"]:
        return ()
    hits = []
    for ingredient in found.mixture.ingredients:
        limits = list(_limits(ingredient, found.law, data))
        if limits and ingredient.share >= min(limits) * (1.0 - TOLERANCE) > 0.0:
            hits.append(
                Trigger(
                    ingredient.name,
                    ingredient.share,
                    Fraction1(min(limits)),
                    data["paragraph"],
                )
            )
    return tuple(hits)


def _limits(ingredient: Ingredient, law: Law, data: Mapping[str, Any]) -> Iterator[float]:
    for token in ingredient.tokens:
        code = token.removesuffix(", not additive")
        hazard = known().get(code)
        if hazard is None or law not in hazard.laws or hazard.family.startswith(_PHYSICAL):
            continue
        yield (
            next(
                (
                    row["percent"]
                    for row in data["row"]
                    if code.startswith(tuple(row["classes"]))
                    and law.value in row.get("laws", data["laws"])
                ),
                data["other_percent"],
            )
            * PERCENT
        )
    if elicitation_limit(ingredient) is not None:
        for outcome in ("Skin Sens. 1", "Resp. Sens. 1"):
            specific = specific_limit(ingredient, outcome)
            if specific is not None:
                yield specific * data["specific_factor"]

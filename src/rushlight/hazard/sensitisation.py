"""Skin and respiratory sensitisation (CLP Annex I, 3.4; Annex II, 2.8)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from rushlight.hazard.criterion import TOLERANCE, Criterion
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Ingredient, Mixture
from rushlight.hazard.rules import PERCENT, criteria, specific_limit
from rushlight.quantity.si import Fraction1


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield Table 3.4.5: classified when at least one ingredient reaches its limit."""
    return criteria("sensitisation", mixture, law)


class Mention(StrEnum):
    """How a sensitiser appears on the label."""

    EUH208 = "EUH208"
    NAMED = "named"


@dataclass(frozen=True, slots=True)
class Mentioned:
    """A sensitiser at or above its elicitation limit [1], and how it must be mentioned."""

    ingredient: Ingredient
    limit: Fraction1
    mention: Mention
    paragraph: str


def mentions(mixture: Mixture, law: Law, *, classified: bool) -> Sequence[Mentioned]:
    """Return sensitisers to mention (Table 3.4.6), by name.

    A mixture classified as sensitising names every sensitiser at or above the limit; one
    that is not says EUH208 with the names.
    """
    data = table("sensitisation")["elicitation"]
    if law.value not in data["laws"]:
        return ()
    found = []
    for ingredient in mixture.ingredients:
        limit = elicitation_limit(ingredient)
        if limit is not None and ingredient.share >= limit * (1.0 - TOLERANCE):
            mention = Mention.NAMED if classified else Mention.EUH208
            found.append(Mentioned(ingredient, limit, mention, data["paragraph"]))
    return sorted(found, key=lambda m: m.ingredient.name.casefold())


def elicitation_limit(ingredient: Ingredient) -> Fraction1 | None:
    """Return the share [1] from which a sensitiser is mentioned; None for no sensitiser.

    The lower of the generic limit of Table 3.4.6 and a tenth of a specific limit: Annex II
    2.10 speaks of a tenth without the bound that a note to the table sets (from memory).
    """
    data = table("sensitisation")["elicitation"]
    generic = [data["percent"][code] for code in ingredient.tokens & data["percent"].keys()]
    if not generic:
        return None
    limit = min(generic) * PERCENT
    for outcome in ("Skin Sens. 1", "Resp. Sens. 1"):
        specific = specific_limit(ingredient, outcome)
        if specific is not None:
            limit = min(limit, specific * data["specific_factor"])
    return Fraction1(limit)

"""Which statements a package of up to 125 ml may leave out (CLP Art. 29(2); Annex I, 1.5.2)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rushlight.hazard.classes import HazardClass, outcome
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.quantity.si import CubicMetre

MILLILITRE = 1e-6  # [m³]


class Relief(StrEnum):
    """What may be left out for one hazard."""

    NONE = "nothing"
    P = "P statements"
    H_AND_P = "H and P statements"


@dataclass(frozen=True, slots=True)
class Small:
    """The relief rules for one package."""

    applies: bool
    paragraph: str

    def of(self, hazard: HazardClass, *, audience: str) -> Relief:
        """Return the relief for a hazard; audience "public" or "trade"."""
        data = table("label")["small"]
        code = outcome(hazard.code)
        if not self.applies:
            return Relief.NONE
        if code in data["h_and_p"]:
            return Relief.H_AND_P
        if audience != "public" and code in data["h_and_p_not_public"]:
            return Relief.H_AND_P
        return Relief.P if code in data["p_only"] else Relief.NONE


def small(capacity: CubicMetre | None, law: Law) -> Small:
    """Return the relief for a capacity [m³]; none where it is not known."""
    data = table("label")["small"]
    fits = capacity is not None and capacity <= data["up_to_ml"] * MILLILITRE * (1.0 + 1e-9)
    return Small(fits and law.value in data["laws"], data["paragraph"])

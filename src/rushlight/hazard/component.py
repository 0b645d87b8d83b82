"""One line of section 3 of a safety data sheet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rushlight.quantity.si import Fraction1


class Route(StrEnum):
    """How a substance gets into the body; inhaled as gas, vapour, or dust and mist."""

    ORAL = "oral"
    DERMAL = "dermal"
    GAS = "gas"
    VAPOUR = "vapour"
    MIST = "mist"


@dataclass(frozen=True, slots=True)
class Ate:
    """An acute toxicity estimate by one route.

    value: mg/kg (oral, dermal), ppm by volume (gas) or mg/l (vapour, mist).
    """

    route: Route
    value: float


@dataclass(frozen=True, slots=True)
class SpecificLimit:
    """A specific concentration limit: from `low` up to below `high` the outcome is `code`."""

    code: str
    low: Fraction1
    high: Fraction1 | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """A substance in an oil or dye.

    low, high: its range there [1]; the upper end counts.
    m_acute, m_chronic: M-factors [1]; None where the sheet gives none.
    ph: of the substance [1], only where it is extreme. additive: whether Table 3.2.3
    (additive) or 3.2.4 applies. unknown: routes without any acute toxicity data.
    """

    name: str
    cas: str = ""
    low: Fraction1
    high: Fraction1
    classes: tuple[str, ...] = ()
    m_acute: float | None = None
    m_chronic: float | None = None
    limits: tuple[SpecificLimit, ...] = ()
    ates: tuple[Ate, ...] = ()
    ph: float | None = None
    additive: bool = True
    unknown: frozenset[Route] = frozenset()

    @property
    def key(self) -> str:
        """What makes it the same substance in another oil: its CAS number, else its name."""
        return self.cas or " ".join(self.name.casefold().split())

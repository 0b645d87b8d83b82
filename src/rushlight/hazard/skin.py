"""Skin corrosion and irritation (CLP Annex I, 3.2)."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture, is_extreme
from rushlight.hazard.rules import criteria


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield Table 3.2.3 (additive) and, for ingredients it does not suit, Table 3.2.4."""
    return criteria("skin", mixture, law)


def extreme_ph(mixture: Mixture) -> tuple[str, str] | None:
    """Return the words and paragraph where the pH of the whole mixture makes it corrosive.

    3.2.3.1.2: pH at or below 2, or at or above 11.5, unless shown otherwise.
    """
    bounds = table("skin")["extreme_ph"]
    if mixture.ph is None or not is_extreme(mixture.ph):
        return None
    words = (
        f"The mixture's pH of {mixture.ph:g} is extreme (at or below {bounds['low']:g}, or at"
        f" or above {bounds['high']:g}): corrosive unless shown otherwise."
    )
    return words, bounds["paragraph"]

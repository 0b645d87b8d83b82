"""Mutagens, carcinogens, reproductive toxicants, lactation (CLP Annex I, 3.5 to 3.7)."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.rules import criteria


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield one condition per category: one ingredient at its limit is enough, none add up."""
    return criteria("cmr", mixture, law)

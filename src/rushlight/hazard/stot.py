"""Specific target organ toxicity (CLP Annex I, 3.8 and 3.9)."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.rules import criteria


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield categories 1 and 2 by single ingredients, category 3 summed effect by effect."""
    return criteria("stot", mixture, law)

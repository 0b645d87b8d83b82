"""Endocrine disruptors, PBT, vPvB, PMT, vPvM (Regulation (EU) 2023/707): EU only."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.rules import criteria


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield one condition per class: one ingredient at its limit is enough."""
    return criteria("newer", mixture, law)

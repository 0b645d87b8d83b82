"""Serious eye damage and eye irritation (CLP Annex I, 3.3)."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.rules import criteria


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield Table 3.3.3 (additive) and, for ingredients it does not suit, Table 3.3.4."""
    return criteria("eye", mixture, law)

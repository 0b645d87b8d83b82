"""Aspiration (CLP Annex I, 3.10): a thin liquid that could be drawn into the lungs."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Form, Mixture
from rushlight.hazard.rules import criteria

SQUARE_MILLIMETRE = 1e-6  # [m²]


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield the sum of aspiration toxicants, for a liquid thin enough or of unknown viscosity."""
    if mixture.form is Form.SOLID or _thick(mixture):
        return
    yield from criteria("aspiration", mixture, law)


def _thick(mixture: Mixture) -> bool:
    most = table("aspiration")["viscosity"]["most_mm2_per_s"] * SQUARE_MILLIMETRE
    return mixture.viscosity is not None and mixture.viscosity > most * (1.0 + 1e-9)

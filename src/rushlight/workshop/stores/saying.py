"""Amounts as they are said at the bench, in the workshop's own unit of mass."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from rushlight.quantity import show
from rushlight.quantity.preference import Preference
from rushlight.quantity.si import Kilogram
from rushlight.workshop.material_views import Amount, Measure

_MILLIGRAM: Final = Kilogram(1e-6)


def said(amount: Amount, shown: Preference) -> str:
    """Return an amount in words; what the scale could not show, to the milligram."""
    if amount.measure is Measure.PIECES:
        return f"{amount.units}"
    if amount.mass < shown.readability:
        shown = replace(shown, readability=_MILLIGRAM)
    return show.mass(amount.mass, shown)

"""Which pictograms and which signal word remain (CLP Art. 20, 26)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rushlight.hazard.classes import HazardClass

_IRRITATION = {"skin", "eye"}


@dataclass(frozen=True, slots=True)
class Sign:
    """A pictogram and why it is shown, or is not."""

    code: str
    reason: str


def signs(hazards: Sequence[HazardClass]) -> tuple[tuple[Sign, ...], tuple[Sign, ...]]:
    """Return pictograms shown and dropped.

    Art. 26(1): (b) GHS06 drives out GHS07; (c) GHS05 drives out GHS07 for skin or eye
    irritation only; (d) GHS08 for respiratory sensitisation drives out GHS07 for skin
    sensitisation and for skin or eye irritation. So the exclamation mark of a skin
    sensitiser stays beside GHS05.
    """
    codes = {hazard.pictogram for hazard in hazards}
    breathing = any(hazard.family == "respiratory sensitisation" for hazard in hazards)
    shown: dict[str, list[str]] = {}
    dropped: dict[str, str] = {}
    for hazard in hazards:
        if not hazard.pictogram:
            continue
        driven = _driven_out(hazard, codes, breathing=breathing)
        if driven:
            dropped[hazard.pictogram] = driven
        else:
            shown.setdefault(hazard.pictogram, []).append(hazard.h)
    return (
        tuple(
            Sign(code, f"for {', '.join(dict.fromkeys(hs))}") for code, hs in sorted(shown.items())
        ),
        tuple(Sign(code, why) for code, why in sorted(dropped.items()) if code not in shown),
    )


def _driven_out(hazard: HazardClass, codes: set[str], *, breathing: bool) -> str:
    """Return the words of the rule that drops this hazard's exclamation mark, or nothing."""
    if hazard.pictogram != "GHS07":
        return ""
    irritating = hazard.family in _IRRITATION
    if "GHS06" in codes:
        return "GHS06 is shown: Art. 26(1)(b)"
    if "GHS05" in codes and irritating:
        return "GHS05 is shown and this is skin or eye irritation: Art. 26(1)(c)"
    if breathing and (irritating or hazard.family == "skin sensitisation"):
        return "GHS08 is shown for respiratory sensitisation: Art. 26(1)(d)"
    return ""


def signal_word(hazards: Sequence[HazardClass]) -> str:
    """Return "Danger", "Warning" or "": Danger drives out Warning (Art. 20(3), from memory)."""
    words = {hazard.signal for hazard in hazards}
    return "Danger" if "Danger" in words else "Warning" if "Warning" in words else ""

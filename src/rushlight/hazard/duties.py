"""What else goes with a classified product (from memory), in the label's language."""

from __future__ import annotations

from collections.abc import Iterable

from rushlight.hazard.classes import HazardClass
from rushlight.hazard.classify import Classification
from rushlight.hazard.law import Law
from rushlight.hazard.statements import Language, duty

CLP = frozenset({Law.EU, Law.GB})
_TACTILE = (
    "Skin Corr.",
    "Resp. Sens.",
    "Muta. 2",
    "Carc. 2",
    "Repr. 2",
    "Flam. Liq. 1",
    "Flam. Liq. 2",
)
_TACTILE_FAMILIES = ("acute toxicity", "organ toxicity", "aspiration")


def duties(found: Classification, language: Language) -> Iterable[str]:
    """Yield the duties of who sells it: supplier, UFI, tactile warning, sheet for the trade."""
    if found.law not in CLP or not found.findings:
        return
    yield duty("supplier", language)
    health = [f.hazard for f in found.findings if not f.hazard.family.startswith("aquatic")]
    if health and found.law is Law.EU:
        yield duty("ufi", language)
    if any(_tactile(hazard) for hazard in health):
        yield duty("tactile", language)
    yield duty("sheet", language)


def _tactile(hazard: HazardClass) -> bool:
    """Tell whether a class calls for one (Annex II, 3.2, from memory); H317 and H315 do not."""
    return hazard.family.startswith(_TACTILE_FAMILIES) or hazard.code.startswith(_TACTILE)

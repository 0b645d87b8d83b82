"""Which substances a label names (CLP Art. 18(3)(b), from memory; Annex II, 2.8).

1. Every sensitiser behind the result, and every other one at its elicitation limit.
2. For each other health hazard at least one substance, the one that counts most.
3. More of those behind these hazards while there are fewer than four names: usually four are
   enough. Sensitisers are named however many they are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rushlight.hazard.classify import Classification
from rushlight.hazard.finding import Finding
from rushlight.hazard.sensitisation import Mention

USUALLY = 4  # Art. 18(3)(b), from memory: "a maximum of four chemical names shall suffice"
_FAMILIES = (
    "acute toxicity",
    "skin sensitisation",
    "respiratory sensitisation",
    "mutagenicity",
    "carcinogenicity",
    "reproductive toxicity",
    "organ toxicity",
    "aspiration",
)
_CODES = ("Skin Corr.", "Eye Dam.", "STOT SE 3", "ED HH")


@dataclass(frozen=True, slots=True)
class Names:
    """The names printed, in order, and those left out because four are enough."""

    printed: tuple[str, ...]
    left: tuple[str, ...]


def names(found: Classification) -> Names:
    """Return the substances to name on a label."""
    named = sorted(filter(_is_named, found.findings), key=_severity)
    wanted = list(_sensitisers(found))
    others = [f for f in named if not _sensitising(f)]
    for finding in others:
        drivers = [d.name for d in finding.drivers]
        if drivers and not set(drivers) & set(wanted):
            wanted.append(drivers[0])
    rest = [d.name for f in others for d in f.drivers if d.name not in wanted]
    more = list(dict.fromkeys(rest))
    room = max(0, USUALLY - len(wanted))
    return Names((*wanted, *more[:room]), tuple(more[room:]))


def _sensitisers(found: Classification) -> Iterable[str]:
    """Return the sensitisers to name, those behind the result first."""
    drivers = [d.name for f in found.findings if _sensitising(f) for d in f.drivers]
    mentioned = [m.ingredient.name for m in found.mentioned if m.mention is Mention.NAMED]
    return dict.fromkeys([*drivers, *mentioned])


def _severity(finding: Finding) -> tuple[bool, float]:
    return finding.hazard.signal != "Danger", -finding.reach


def _sensitising(finding: Finding) -> bool:
    return "sensitisation" in finding.hazard.family


def _is_named(finding: Finding) -> bool:
    hazard = finding.hazard
    return hazard.family.startswith(_FAMILIES) or hazard.code.startswith(_CODES)

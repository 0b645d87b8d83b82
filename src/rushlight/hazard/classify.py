"""Classifies a mixture: every class in turn, each result with its reasons."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import fsum

from rushlight.hazard import (
    WORKING_AID,
    acute,
    aquatic,
    aspiration,
    cmr,
    eye,
    flammable,
    newer,
    sensitisation,
    skin,
    stot,
)
from rushlight.hazard.classes import hazard_class
from rushlight.hazard.component import Route
from rushlight.hazard.criterion import TOLERANCE, Criterion
from rushlight.hazard.finding import Finding, Judged, finding_of, plain
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Form, Mixture
from rushlight.hazard.sensitisation import Mentioned
from rushlight.quantity.si import Fraction1

CHAPTERS = (sensitisation, skin, eye, acute, cmr, stot, newer, aspiration, aquatic)


@dataclass(frozen=True, slots=True)
class Unknown:
    """Share [1] of the mixture whose acute toxicity by a route nobody knows."""

    route: Route
    share: Fraction1


@dataclass(frozen=True, slots=True, kw_only=True)
class Classification:
    """What a mixture is classified as under a law; near: limits touched but not reached."""

    law: Law
    mixture: Mixture
    findings: tuple[Finding, ...]
    near: tuple[Finding, ...]
    mentioned: tuple[Mentioned, ...]
    unknown: tuple[Unknown, ...]
    notes: tuple[str, ...]
    aid: str = WORKING_AID

    @property
    def codes(self) -> frozenset[str]:
        """The hazard classes found."""
        return frozenset(finding.hazard.code for finding in self.findings)

    @property
    def statements(self) -> frozenset[str]:
        """The H statements found."""
        return frozenset(finding.hazard.h for finding in self.findings)


def classify(mixture: Mixture, law: Law) -> Classification:
    """Return the classification of a mixture under a law, by ingredient calculation.

    Test data and bridging (Art. 9) come before calculation in law; they are not Rushlight's.
    """
    judged = [(criterion, criterion.reach) for criterion in conditions(mixture, law)]
    met = [pair for pair in judged if pair[1] >= 1.0 - TOLERANCE]
    findings = _worst([*map(finding_of, _keep(met, _by_rank)), *_of_the_whole(mixture, law)])
    families = {finding.hazard.family for finding in findings}
    short = [pair for pair in judged if pair[1] > 0.0 and _family(pair[0]) not in families]
    near = tuple(map(finding_of, _keep(short, _by_reach)))
    sensitising = any("sensitisation" in family for family in families)
    return Classification(
        law=law,
        mixture=mixture,
        findings=findings,
        near=near,
        mentioned=tuple(sensitisation.mentions(mixture, law, classified=sensitising)),
        unknown=tuple(_unknown(mixture)),
        notes=(*mixture.notes, *_notes(mixture, law)),
    )


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield every concentration criterion of every chapter."""
    for chapter in CHAPTERS:
        yield from chapter.conditions(mixture, law)


def _of_the_whole(mixture: Mixture, law: Law) -> Iterator[Finding]:
    """Yield what flash point and pH of the whole mixture say."""
    liquid = flammable.category(mixture, law)
    if liquid is not None:
        yield plain(liquid[0], liquid[1], "CLP Annex I, Table 2.6.1", "from memory")
    ph = skin.extreme_ph(mixture)
    if ph is not None:
        yield plain("Skin Corr. 1", ph[0], ph[1], "legal text of CLP Annex I")
        yield plain("Eye Dam. 1", ph[0], "CLP Annex I, 3.3.3.1.2", "from memory")


def _keep(judged: Iterable[Judged], order: Callable[[Judged], tuple[float, ...]]) -> list[Judged]:
    """Keep one criterion a family, the first by an order."""
    kept: dict[str, Judged] = {}
    for pair in judged:
        family = _family(pair[0])
        if family not in kept or order(pair) < order(kept[family]):
            kept[family] = pair
    return list(kept.values())


def _by_rank(pair: Judged) -> tuple[float, ...]:
    return hazard_class(pair[0].code).rank, -pair[1]


def _by_reach(pair: Judged) -> tuple[float, ...]:
    return -pair[1], hazard_class(pair[0].code).rank


def _family(criterion: Criterion) -> str:
    return hazard_class(criterion.code).family


def _worst(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Keep the worst finding of each family."""
    kept: dict[str, Finding] = {}
    for finding in findings:
        held = kept.get(finding.hazard.family)
        if held is None or finding.hazard.rank < held.hazard.rank:
            kept[finding.hazard.family] = finding
    return tuple(kept.values())


def _unknown(mixture: Mixture) -> Iterator[Unknown]:
    for route in Route:
        share = fsum(i.share for i in acute.unknowns(mixture, route))
        if share > 0.0:
            yield Unknown(route, Fraction1(share))


def _notes(mixture: Mixture, law: Law) -> Iterator[str]:
    missing = aquatic.missing_m(mixture)
    if missing and law is not Law.US:
        yield (
            f"No M-factor is given for {', '.join(missing)}; 1 is used, the true one may be"
            " higher. Ask the supplier."
        )
    if mixture.form is Form.LIQUID:
        if mixture.flash_point is None:
            yield "The flash point is not known: flammability is not judged."
        if mixture.viscosity is None and any(
            "Asp. Tox. 1" in i.tokens for i in mixture.ingredients
        ):
            yield "The viscosity is not known; it is taken as thin enough to be aspirated."
    if law is Law.US:
        yield (
            "OSHA's rules are for workplaces. A candle sold to a household is labelled under the"
            " FHSA, not with GHS pictograms."
        )

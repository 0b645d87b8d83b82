"""One hazard found, or nearly: which ingredients, what limit, which paragraph, in words."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

from rushlight.hazard.classes import HazardClass, hazard_class
from rushlight.hazard.criterion import Criterion
from rushlight.hazard.data import table
from rushlight.hazard.mixture import Origin
from rushlight.quantity.si import Fraction1

THOUSAND = 1000.0
Judged = tuple[Criterion, float]  # a condition, and how far it is reached


@dataclass(frozen=True, slots=True)
class Driver:
    """An ingredient behind a result: its share of the mixture and the limit it meets [1]."""

    name: str
    cas: str
    share: Fraction1
    limit: float
    origins: tuple[Origin, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A hazard the mixture has, or comes near: why, by which paragraph.

    reach: how far the limit is reached [1]; at 1 and over the mixture is classified.
    """

    hazard: HazardClass
    reach: float
    adds_up: bool
    drivers: tuple[Driver, ...]
    paragraph: str
    source: str
    words: str


def finding_of(judged: Judged) -> Finding:
    """Return a judged condition as a finding, with its ingredients, the largest first."""
    criterion, reach = judged
    drivers = tuple(
        Driver(
            t.ingredient.name,
            t.ingredient.cas,
            t.ingredient.share,
            t.limit / criterion.times,
            t.ingredient.origins,
        )
        for t in criterion.drivers
    )
    return Finding(
        hazard=hazard_class(criterion.code),
        reach=reach,
        adds_up=criterion.adds_up,
        drivers=drivers,
        paragraph=criterion.paragraph,
        source=criterion.source,
        words=_words(criterion, reach, drivers),
    )


def plain(code: str, words: str, paragraph: str, source: str) -> Finding:
    """Return a finding about the mixture as a whole, with no ingredient behind it."""
    return Finding(
        hazard=hazard_class(code),
        reach=1.0,
        adds_up=False,
        drivers=(),
        paragraph=paragraph,
        source=source,
        words=words,
    )


def _words(criterion: Criterion, reach: float, drivers: tuple[Driver, ...]) -> str:
    if criterion.code.startswith("Acute Tox."):
        shares = ", ".join(f"{d.name} {100 * d.share:.4g} %" for d in drivers)
        return f"{shares}: {_estimate(criterion, reach)}"
    listed = ", ".join(
        f"{d.name} {100 * d.share:.4g} % (limit {100 * d.limit:.4g} %)" for d in drivers
    )
    if not criterion.adds_up:
        return f"{listed}; one ingredient is enough, they are not added together."
    return f"{listed}; together {100 * reach:.4g} % of the limit."


def _estimate(criterion: Criterion, reach: float) -> str:
    """Say the mixture's ATE: the bound times (1 − unknown) over what the knowns reach."""
    gate = criterion.gate
    unknown = fsum(t.ingredient.share for t in gate.terms if t.counts) if gate else 0.0
    known = reach - unknown
    route = criterion.code.split()[-1]
    unit = table("acute")["route"][route]["unit"]
    estimate = criterion.times * max(0.0, 1.0 - unknown) / known
    return (
        f"the estimate for the mixture is {_figure(estimate)} {unit} ({route}); this category goes"
        f" up to {criterion.times:g} {unit}."
    )


def _figure(value: float) -> str:
    """Four figures, and no powers of ten however large."""
    return f"{value:.0f}" if value >= THOUSAND else f"{value:.4g}"

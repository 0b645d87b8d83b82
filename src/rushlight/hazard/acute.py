"""Acute toxicity by route (CLP Annex I, 3.1): 100 / ATEmix = Σ (Ci / ATEi)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import fsum

from rushlight.hazard.component import Route
from rushlight.hazard.criterion import TOLERANCE, Criterion, Gate, Term
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Ingredient, Mixture
from rushlight.hazard.rules import PERCENT
from rushlight.quantity.si import Fraction1


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield a condition per route and category, on shares c [1].

    ATEmix ≤ top is Σ c·top/ATE ≥ 1; with unknowns of more than 10 % the second formula
    gives Σ c·top/ATE + Σ unknown ≥ 1.
    """
    formula = table("acute")["formula"]
    for route in Route:
        terms = _terms(mixture, route, law)
        if not terms:
            continue
        unknown = [i for i in mixture.ingredients if route in i.unknown and ate(i, route) is None]
        for step in _steps(route, law):
            yield _criterion(f"Acute Tox. {step.category} {route}", terms, step.top, None)
            if unknown:
                least = formula["unknown_said_percent"] * PERCENT
                more = tuple(Term(i, step.top, least) for i in unknown)
                gate = Gate(more, Fraction1(formula["unknown_percent"] * PERCENT), terms)
                yield _criterion(
                    f"Acute Tox. {step.category} {route}", terms + more, step.top, gate
                )


def _criterion(code: str, terms: tuple[Term, ...], top: float, gate: Gate | None) -> Criterion:
    """Return Σ c·top/ATE ≥ 1: the terms carry their ATE, and count `top` times."""
    formula = table("acute")["formula"]
    return Criterion(
        code=code,
        terms=terms,
        adds_up=True,
        paragraph=formula["paragraph"],
        source="formula " + formula["source"] + "; bounds from memory",
        times=top,
        gate=gate,
    )


def ate(ingredient: Ingredient, route: Route) -> float | None:
    """Return an ingredient's ATE by a route: as given, else the point of its category."""
    if route in ingredient.ates:
        return ingredient.ates[route]
    points = _points(route)
    if ingredient.tokens.isdisjoint(points):
        return None
    return min(points[token] for token in ingredient.tokens & points.keys())


def ate_of(mixture: Mixture, route: Route, law: Law) -> float | None:
    """Return ATEmix by a route (mg/kg, ppm or mg/l); None where nothing counts.

    (100 − unknown) / ATEmix = Σ (Ci / ATEi), unknown only where more than 10 %.
    """
    total = fsum(term.reach for term in _terms(mixture, route, law))
    if total == 0.0:
        return None
    unknown = fsum(i.share for i in unknowns(mixture, route))
    over = unknown > table("acute")["formula"]["unknown_percent"] * PERCENT * (1.0 + TOLERANCE)
    return max(0.0, 1.0 - (unknown if over else 0.0)) / total


def unknowns(mixture: Mixture, route: Route) -> Sequence[Ingredient]:
    """Return ingredients of 1 % or more without any acute toxicity data by a route."""
    least = table("acute")["formula"]["unknown_said_percent"] * PERCENT * (1.0 - TOLERANCE)
    return [
        i
        for i in mixture.ingredients
        if route in i.unknown and ate(i, route) is None and i.share >= least
    ]


@dataclass(frozen=True, slots=True)
class _Step:
    """A category of a route: its largest ATE, and the cut-off share [1] of its ingredients."""

    category: int
    top: float
    cutoff: float


def _terms(mixture: Mixture, route: Route, law: Law) -> tuple[Term, ...]:
    """Ingredients with an ATE that counts, as limit; above the last category none does."""
    steps = _steps(route, law)
    terms = []
    for ingredient in mixture.ingredients:
        value = ate(ingredient, route)
        step = next((s for s in steps if value is not None and value <= s.top), None)
        if value is not None and step is not None:
            terms.append(Term(ingredient, value, step.cutoff))
    return tuple(terms)


@cache
def _steps(route: Route, law: Law) -> tuple[_Step, ...]:
    """Categories of a route, the worst first; the fifth is the UN's alone."""
    data = table("acute")
    return tuple(
        _Step(int(category), top, data["cutoff_percent"][category] * PERCENT)
        for category, top in data["route"][route.value]["top"].items()
        if law is Law.UN or category != "5"
    )


@cache
def _points(route: Route) -> Mapping[str, float]:
    """Return the converted point estimates of a route by class code."""
    points = table("acute")["route"][route.value]["point"]
    return {f"Acute Tox. {category} {route.value}": point for category, point in points.items()}

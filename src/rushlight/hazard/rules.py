"""The tables of limits as rules, and rules applied to a mixture as criteria."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from rushlight.hazard.classes import outcome
from rushlight.hazard.criterion import Criterion, Term
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Ingredient, Mixture

PERCENT = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One row of a table: the outcome, and the limit [1] of each ingredient class for it.

    cutoff [1]: shares below it do not count. with_m: classes whose share counts M times;
    their cut-off is m_cutoff divided by M.
    """

    result: str
    adds_up: bool
    limits: Mapping[str, float]
    cutoff: float
    with_m: frozenset[str]
    m_cutoff: float
    paragraph: str
    source: str


@cache
def rules(name: str, law: Law) -> tuple[Rule, ...]:
    """Return the rules of a table that hold under a law."""
    data = table(name)
    m_cutoff = data.get("cutoff", {}).get("with_m_percent", 0.0) * PERCENT
    return tuple(
        Rule(
            result=row["result"],
            adds_up=row["how"] == "sum",
            limits={code: percent * PERCENT for code, percent in row["percent"].items()},
            cutoff=row.get("cutoff_percent", 0.0) * PERCENT,
            with_m=frozenset(row.get("with_m", ())),
            m_cutoff=m_cutoff,
            paragraph=row["paragraph"],
            source=row["source"],
        )
        for row in data["rule"]
        if law.value in row["laws"]
    )


def criteria(name: str, mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield the criteria of a table for a mixture; none where no ingredient has the class."""
    for rule in rules(name, law):
        touched = rule.limits.keys()
        terms = tuple(
            term(rule, ingredient)
            for ingredient in mixture.ingredients
            if not ingredient.tokens.isdisjoint(touched)
        )
        if terms:
            yield Criterion(
                code=rule.result,
                terms=terms,
                adds_up=rule.adds_up,
                paragraph=rule.paragraph,
                source=rule.source,
            )


def term(rule: Rule, ingredient: Ingredient) -> Term:
    """Return how an ingredient counts: once, by its strictest class.

    A specific limit for this outcome overrides the generic one (Art. 10; Annex I, 1.1.2.1),
    and the cut-off is the lower of the two (1.1.2.2.2).
    """
    specific = specific_limit(ingredient, rule.result) if ingredient.limits else None
    found: list[tuple[float, float]] = []
    for code in ingredient.tokens & rule.limits.keys():
        limit, cutoff = rule.limits[code], rule.cutoff
        if specific is not None:
            limit, cutoff = specific, min(cutoff, specific)
        if code in rule.with_m:
            m = factor(ingredient, code)
            limit, cutoff = limit / m, rule.m_cutoff / m
        found.append((limit, cutoff))
    return Term(ingredient, *min(found))


def specific_limit(ingredient: Ingredient, result: str) -> float | None:
    """Return the ingredient's specific limit [1] for an outcome.

    The one given for just this category, else the lowest given for any of its class: a sheet
    that says "Skin Corr. 1B from 10 %" leaves no room for 1C from the generic 5 %.
    """
    if result in ingredient.limits:
        return ingredient.limits[result]
    stem = outcome(result)
    found = [low for code, low in ingredient.limits.items() if outcome(code) == stem]
    return min(found, default=None)


def factor(ingredient: Ingredient, code: str) -> float:
    """Return the M-factor [1] for a class; 1 where the sheet gives none."""
    m = ingredient.m_acute if "Acute" in code else ingredient.m_chronic
    return 1.0 if m is None else m

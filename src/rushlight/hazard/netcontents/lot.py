"""One weighed lot judged by the tests asked for, with a fill to aim for."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial
from math import fsum, sqrt
from typing import TypeVar

from rushlight.errors import BadInput, Problem
from rushlight.hazard import WORKING_AID
from rushlight.hazard.netcontents.category_a import CategoryA, category_a
from rushlight.hazard.netcontents.directive import Directive, directive
from rushlight.hazard.netcontents.plan import BelowT1
from rushlight.hazard.netcontents.target import Aim, Scatter, Test, aim, scatter_of
from rushlight.hazard.netcontents.weights import Weights, deviation
from rushlight.quantity import parse
from rushlight.quantity.si import Fraction1, Kilogram

MOST_LOTS = Fraction1(0.99)
"""Share of lots that shall pass where none is chosen; our own choice."""
SMALLEST, LARGEST = Kilogram(0.001), Kilogram(100.0)
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class LotVerdict:
    """What the tests say of a lot; None for a test not asked for, or one that cannot answer.

    aims: the fill to aim for by each test, from this lot's own scatter. unanswered: why a
    test or an aim has no answer.
    """

    label: Kilogram
    lot: int
    weights: Weights
    hb133: CategoryA | None
    eu: Directive | None
    aims: tuple[Aim, ...]
    unanswered: tuple[Problem, ...]
    aid: str = WORKING_AID


def judge(  # noqa: PLR0913  each is one thing the verdict depends on
    weights: Weights,
    *,
    label: Kilogram,
    lot: int,
    tests: Collection[Test] = tuple(Test),
    passing: Fraction1 = MOST_LOTS,
    below_t1: BelowT1 = BelowT1.GUIDE,
    destructive: bool = False,
) -> LotVerdict:
    """Return the verdicts on a lot.

    label: declared quantity [kg]; lot: jars in it; passing: share of lots [1] that shall
    pass at the suggested fill; below_t1, destructive: of the EU test (`directive`).
    """
    unanswered: list[Problem] = []

    def asked(test: Test, answer: Callable[[], Value]) -> Value | None:
        if test not in tests:
            return None
        try:
            return answer()
        except BadInput as bad:
            unanswered.extend(p for p in bad.problems if p not in unanswered)
            return None

    def aimed(test: Test) -> Aim:
        return aim(
            label=label,
            scatter=scatter_of(weights),
            lot=lot,
            passing=passing,
            test=test,
            below_t1=below_t1,
        )

    def by_directive() -> Directive:
        return directive(
            weights, nominal=label, batch=lot, below_t1=below_t1, destructive=destructive
        )

    hb133 = asked(Test.CATEGORY_A, lambda: category_a(weights, label=label, lot=lot))
    eu = asked(Test.DIRECTIVE, by_directive)
    found = [asked(test, partial(aimed, test)) for test in Test]
    return LotVerdict(
        label=label,
        lot=lot,
        weights=weights,
        hb133=hb133,
        eu=eu,
        aims=tuple(a for a in found if a is not None),
        unanswered=tuple(unanswered),
    )


def read_label(text: str) -> Kilogram:
    """Return a declared quantity [kg]: "226 g", "8 oz", or both, "Net Wt 8 oz (226 g)".

    Of two that differ the larger counts, as inspectors hold it (NIST SP 1038, 4.4.1.2).
    """
    stem = re.sub(r"(?i)^\s*(net\s*w(eigh)?t\.?)\s*|℮", "", text)
    parts = [part.strip() for part in re.split(r"[()/=]", stem) if part.strip()]
    if not parts:
        raise BadInput.one("No quantity was typed.", "Type what the label says, such as 226 g.")
    largest = max(parse.mass(part) for part in parts)
    if not SMALLEST <= largest <= LARGEST:
        raise BadInput.one(f"“{text[:60]}” is not what a candle holds.", "Check it and its unit.")
    return Kilogram(largest)


def pooled(lots: Sequence[Sequence[float]]) -> Scatter:
    """Return a maker's own scatter over several lots, however their means lie.

    s² = Σ(nᵢ − 1)·sᵢ² / Σ(nᵢ − 1), as if measured on Σ(nᵢ − 1) + 1 jars. lots: masses [kg].
    """
    freedom = sum(len(lot) - 1 for lot in lots if lot)
    if freedom < 1:
        return Scatter(0.0, 1)
    squares = fsum((len(lot) - 1) * deviation(lot) ** 2 for lot in lots if len(lot) > 1)
    return Scatter(sqrt(squares / freedom), freedom + 1)

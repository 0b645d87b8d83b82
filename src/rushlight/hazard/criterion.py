"""One condition for one hazard: shares weighed against their limits add up to 1, or not yet.

Every concentration rule of the regulations has this shape. "Any" rules look at one
ingredient at a time (sensitisers, CMR); "sum" rules add up (irritants, aquatic, acute
toxicity, where the weight is the category's bound divided by the ATE). A share below its
cut-off counts as nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from rushlight.hazard.mixture import Ingredient
from rushlight.quantity.si import Fraction1

TOLERANCE = 1e-9  # "at or above": a share that misses its limit only by rounding has reached it


@dataclass(frozen=True, slots=True)
class Term:
    """An ingredient and the share [1] at which it alone would reach the limit."""

    ingredient: Ingredient
    limit: float
    cutoff: float = 0.0

    @property
    def counts(self) -> bool:
        """Whether the share reaches the cut-off."""
        return self.ingredient.share >= self.cutoff * (1.0 - TOLERANCE)

    @property
    def reach(self) -> float:
        """Share over limit [1]; 0 below the cut-off."""
        return self.ingredient.share / self.limit if self.counts else 0.0


@dataclass(frozen=True, slots=True)
class Gate:
    """A second condition: `terms` together pass a share [1], and one of `known` counts."""

    terms: tuple[Term, ...]
    above: Fraction1
    known: tuple[Term, ...]

    @property
    def open(self) -> bool:
        """Whether both hold."""
        if not any(term.counts for term in self.known):
            return False
        total = fsum(term.ingredient.share for term in self.terms if term.counts)
        return total > self.above * (1.0 + TOLERANCE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """A hazard, the ingredients that count towards it, and where that is written.

    times: every term counts so many times [1].
    """

    code: str
    terms: tuple[Term, ...]
    adds_up: bool
    paragraph: str
    source: str
    times: float = 1.0
    gate: Gate | None = None

    @property
    def reach(self) -> float:
        """How far the limit is reached [1]: at 1 the mixture is classified."""
        if self.gate is not None and not self.gate.open:
            return 0.0
        reaches = [
            term.ingredient.share / term.limit
            for term in self.terms
            if term.ingredient.share >= term.cutoff * (1.0 - TOLERANCE)
        ]
        return self.times * (fsum(reaches) if self.adds_up else max(reaches, default=0.0))

    @property
    def drivers(self) -> Sequence[Term]:
        """The terms that made it so (or come nearest), the largest first."""
        reaches = [(self.times * term.reach, term) for term in self.terms]
        most = max((reach for reach, _ in reaches), default=0.0)
        at_least = 0.0 if self.adds_up else min(1.0 - TOLERANCE, most)
        telling = [pair for pair in reaches if pair[0] > 0.0 and pair[0] >= at_least]
        return [term for _, term in sorted(telling, key=lambda p: (-p[0], p[1].ingredient.key))]

"""Where to aim the fill so that a chosen share of lots passes, given the maker's own scatter.

Weights are taken as normal about the aim with standard deviation σ. With excess d over the
label, the chance that a lot passes is bounded from below by 1 − (chance the mean test fails)
− (chance too many single jars are short), which needs no independence (Bonferroni).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

from rushlight.errors import BadInput
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import net_table
from rushlight.hazard.netcontents.category_a import mav
from rushlight.hazard.netcontents.directive import tne
from rushlight.hazard.netcontents.plan import BelowT1, plan
from rushlight.hazard.netcontents.quantile import mean_factor
from rushlight.hazard.netcontents.weights import Weights
from rushlight.quantity.si import Fraction1, Kilogram

GRAM = 1e-3  # [kg]
SURE = 0.90  # one-sided confidence of the cautious scatter
FAR = 6.0  # standard deviations of the mean; beyond, a tail of under 1e-9
REACH = 12.0  # standard deviations within which an aim is sought


class Test(StrEnum):
    """Which lot test the aim is for."""

    __test__ = False  # not a pytest class

    CATEGORY_A = "NIST Handbook 133, Category A"
    DIRECTIVE = "76/211/EEC"


@dataclass(frozen=True, slots=True)
class Scatter:
    """Standard deviation (n − 1) of a maker's own jars [kg], and how many were weighed."""

    deviation: float
    jars: int

    @property
    def upper(self) -> float:
        """Upper 90 % confidence limit [kg]: s·√((n − 1)/χ²(0.1, n − 1))."""
        from scipy.special import chdtri

        freedom = self.jars - 1
        return self.deviation * sqrt(freedom / float(chdtri(freedom, SURE)))


def scatter_of(weights: Weights) -> Scatter:
    """Return the scatter of weighed jars."""
    return Scatter(weights.deviation, len(weights.masses))


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """A suggested fill: masses [kg].

    fill: for the scatter as measured; cautious: for its upper 90 % confidence limit, which
    counts how few jars it was measured on. passing: share of lots [1].
    """

    label: Kilogram
    fill: Kilogram
    cautious: Kilogram
    scatter: float
    cautious_scatter: float
    passing: Fraction1
    lot: int
    test: Test
    words: str
    aid: str = WORKING_AID


def aim(  # noqa: PLR0913  each is one thing the aim depends on
    *,
    label: Kilogram,
    scatter: Scatter,
    lot: int,
    passing: Fraction1,
    test: Test,
    below_t1: BelowT1 = BelowT1.GUIDE,
) -> Aim:
    """Return the fill to aim for.

    label [kg]: declared or nominal quantity; scatter: of the maker's own jars [kg]; lot: jars
    a lot; passing [1]: share of lots that shall pass, below 1; below_t1: for small EU batches.
    """
    _checked(scatter, lot, passing)
    upper = scatter.upper

    def reached(spread: float) -> float:
        def passes(excess: float) -> float:
            return chance(
                excess=excess,
                scatter=spread,
                label=label,
                lot=lot,
                test=test,
                below_t1=below_t1,
            )

        return label + _excess(passes, passing, REACH * spread + label)

    fill, cautious = reached(scatter.deviation), reached(upper)
    return Aim(
        label=label,
        fill=Kilogram(fill),
        cautious=Kilogram(cautious),
        scatter=scatter.deviation,
        cautious_scatter=upper,
        passing=passing,
        lot=lot,
        test=test,
        words=(
            f"Aim for {fill / GRAM:.1f} g so that about {100 * passing:.4g} % of lots of {lot}"
            f" pass; {cautious / GRAM:.1f} g allows for the scatter being known from only"
            f" {scatter.jars} jars."
        ),
    )


def chance(  # noqa: PLR0913  each is one thing the chance depends on
    *,
    excess: float,
    scatter: float,
    label: Kilogram,
    lot: int,
    test: Test,
    below_t1: BelowT1 = BelowT1.GUIDE,
) -> float:
    """Return a lower bound of the chance [1] that a lot aimed `excess` [kg] over passes.

    A second sample, which the EU plan may ask for, is not counted on.
    """
    if test is Test.CATEGORY_A:
        return _category_a(excess, scatter, label, lot)
    return _directive(excess, scatter, label, lot, below_t1)


def _category_a(excess: float, scatter: float, label: Kilogram, lot: int) -> float:
    rows = net_table("handbook133")["sampling"]
    row = next(r for r in rows["row"] if lot <= r["lot_to"])
    n = lot if row["sample"] == 0 else int(row["sample"])
    short = _below(label - mav(label), label + excess, scatter)
    singles = _at_most(row["over_mav"], n, short)
    if n == 1:
        return singles
    mean = _mean_passes(excess, scatter, n, mean_factor(rows["quantile"], n))
    return max(0.0, mean + singles - 1.0)


def _directive(
    excess: float, scatter: float, label: Kilogram, lot: int, below_t1: BelowT1
) -> float:
    error = tne(label)
    asked = plan(lot, below_t1=below_t1)
    n, allowed = asked.first.sample, asked.first.accept
    if asked.whole:
        mean = _normal(excess * sqrt(n) / scatter)
    else:
        factor = mean_factor(net_table("eu")["mean"]["quantile"], n)
        mean = _mean_passes(excess, scatter, n, factor)
    centre = label + excess
    singles = _at_most(allowed, n, _below(label - error, centre, scatter))
    none = _at_most(0, n, _below(label - 2.0 * error, centre, scatter))
    return max(0.0, mean + singles + none - 2.0)


def _mean_passes(excess: float, scatter: float, n: int, factor: float) -> float:
    """Chance that mean error ≥ −factor·s: the upper tail of Student's t off centre.

    Far out, where SciPy's function gives no number at all, the tail is bounded by that of the
    mean alone: the test can fail only if the mean error is below zero, Φ(−excess·√n/σ).
    """
    from scipy.special import nctdtr

    root = sqrt(n)
    centre = excess * root / scatter
    if centre > FAR:
        return 1.0 - _normal(-centre)
    return 1.0 - float(nctdtr(n - 1, centre, -factor * root))


def _below(bound: float, centre: float, scatter: float) -> float:
    return _normal((bound - centre) / scatter)


def _at_most(k: float, n: int, share: float) -> float:
    from scipy.special import bdtr

    return float(bdtr(k, n, share))


def _normal(z: float) -> float:
    from scipy.special import ndtr

    return float(ndtr(z))


def _excess(passes: Callable[[float], float], passing: Fraction1, most: float) -> float:
    """Smallest excess from 0 to `most` [kg] whose chance reaches `passing`, by bracketing."""
    from scipy.optimize import brentq

    if passes(0.0) >= passing:
        return 0.0
    return float(brentq(lambda excess: passes(excess) - passing, 0.0, most, xtol=1e-9))


def _checked(scatter: Scatter, lot: int, passing: float) -> None:
    if scatter.jars <= 1 or not scatter.deviation > 0.0:
        raise BadInput.one(
            "The scatter is not known from fewer than two jars that differ.",
            "Weigh some jars of one pour first; ten or more tell something.",
            "scatter",
        )
    if lot < 1:
        raise BadInput.one("A lot has at least one jar.", "Type how many are poured.", "lot")
    if not 0.0 < passing < 1.0:
        raise BadInput.one(
            f"{100 * passing:g} % of lots cannot be asked for.",
            "Type a share under 100 %, such as 99 %.",
            "passing",
        )

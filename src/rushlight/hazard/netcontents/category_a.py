"""Lot test by NIST Handbook 133, Category A: the average, and no unreasonable single shortage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import fsum

from rushlight.errors import BadInput
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import net_table
from rushlight.hazard.netcontents.quantile import mean_factor
from rushlight.hazard.netcontents.weights import Weights, deviation
from rushlight.quantity.si import Kilogram

GRAM = 1e-3  # [kg]
POUND = 0.45359237  # [kg], exact (NIST Handbook 44, Appendix C)
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class CategoryA:
    """The test of one lot; all errors and masses [kg].

    errors: net − label, in the order weighed. sel: sample error limit = factor × s.
    short: positions of jars short by more than the MAV. sample: how many the plan weighs.
    """

    label: Kilogram
    lot: int
    sample: int
    errors: tuple[float, ...]
    mean: float
    deviation: float
    factor: float
    sel: float
    mav: Kilogram
    short: tuple[int, ...]
    allowed_short: int
    average_holds: bool
    singles_hold: bool
    passes: bool
    verdict: str
    paragraph: str
    source: str
    aid: str = WORKING_AID


def category_a(weights: Weights, *, label: Kilogram, lot: int) -> CategoryA:
    """Return the test of a lot from net weights: mean error ≥ −SCF·s, shortages within MAV.

    label: the larger of the two declared quantities [kg]; lot: jars in the lot.
    Range: lots of 2 or more; a single jar is held to the MAV alone.
    """
    n = len(weights.masses)
    plan = _plan(lot)
    sample = lot if plan["sample"] == 0 else int(plan["sample"])
    if n == 0 or n > lot:
        raise BadInput.one(
            f"{n} weights cannot come from a lot of {lot}.", "Check the lot size.", "lot"
        )
    errors = tuple(mass - label for mass in weights.masses)
    mean, s = fsum(errors) / n, deviation(errors)
    factor = mean_factor(net_table("handbook133")["sampling"]["quantile"], n) if n > 1 else 0.0
    limit = mav(label)
    short = tuple(i for i, e in enumerate(errors) if e < -limit * (1.0 + ROUNDING))
    average = mean + factor * s >= -ROUNDING * label or n == 1
    singles = len(short) <= plan["over_mav"]
    data = net_table("handbook133")["sampling"]
    result = CategoryA(
        label=label,
        lot=lot,
        sample=sample,
        errors=errors,
        mean=mean,
        deviation=s,
        factor=factor,
        sel=factor * s,
        mav=limit,
        short=short,
        allowed_short=int(plan["over_mav"]),
        average_holds=average,
        singles_hold=singles,
        passes=average and singles,
        verdict="",
        paragraph=data["paragraph"],
        source=data["source"],
    )
    return _with_verdict(result)


def mav(label: Kilogram) -> Kilogram:
    """Return the maximum allowable variation [kg] of a labelled weight [kg] (Table 2-5)."""
    data = net_table("handbook133")["mav"]
    grams = round(label / GRAM, 9)
    if grams <= data["small_up_to_g"]:
        return Kilogram(label * data["small_percent"] / 100.0)
    for row in data["row"]:
        if grams <= row["up_to_g"]:
            return Kilogram(row["mav_g"] * GRAM)
    raise BadInput.one(
        f"{grams:g} g is beyond the part of the table Rushlight carries (up to 2130 g).",
        "Look the variation up in NIST Handbook 133, Table 2-5.",
        "label",
    )


def _plan(lot: int) -> dict[str, float]:
    if lot < 1:
        raise BadInput.one("A lot has at least one jar.", "Type how many were poured.", "lot")
    rows: list[dict[str, float]] = net_table("handbook133")["sampling"]["row"]
    return next(row for row in rows if lot <= row["lot_to"])


def _with_verdict(result: CategoryA) -> CategoryA:
    n = len(result.errors)
    mean, sel = result.mean / GRAM, result.sel / GRAM
    lines = [f"By these weights the lot {'passes' if result.passes else 'fails'} Category A."]
    if n < result.sample:
        would = "would pass" if result.passes else "would fail"
        lines = [f"By these weights alone, fewer than the plan asks for, the lot {would}."]
    lines.append(
        f"The jars are on average {abs(mean):.2f} g {'over' if mean >= 0.0 else 'short'}"
        f" (allowance for sampling {sel:.2f} g)."
    )
    if result.short:
        listed = ", ".join(str(i + 1) for i in result.short)
        lines.append(f"Short by more than {result.mav / GRAM:.1f} g: jar {listed}.")
    if n < result.sample:
        lines.append(f"The plan weighs {result.sample} of {result.lot} jars; only {n} were.")
    return replace(result, verdict=" ".join(lines))

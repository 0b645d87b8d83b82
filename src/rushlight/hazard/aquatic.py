"""Hazardous to the aquatic environment, by summation (CLP Annex I, 4.1.3.5.5)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rushlight.hazard.criterion import Criterion
from rushlight.hazard.data import table
from rushlight.hazard.law import Law
from rushlight.hazard.mixture import Mixture
from rushlight.hazard.rules import criteria


def conditions(mixture: Mixture, law: Law) -> Iterator[Criterion]:
    """Yield Acute 1 and Chronic 1 to 4, each a sum in which M-factors weigh."""
    return criteria("aquatic", mixture, law)


def missing_m(mixture: Mixture) -> Sequence[str]:
    """Return names of ingredients whose sheet gives no M-factor where one belongs."""
    return sorted(
        i.name
        for i in mixture.ingredients
        if ("Aquatic Acute 1" in i.tokens and i.m_acute is None)
        or ("Aquatic Chronic 1" in i.tokens and i.m_chronic is None)
    )


def m_factor(concentration: float, *, series: str) -> int | None:
    """Return the M-factor [1] that test data give (Table 4.1.3), None outside its range.

    concentration: L(E)C50 or NOEC [mg/l]. series: "acute", "chronic_not_degradable" or
    "chronic_degradable". Beyond the table M goes on by tens; ask the supplier then.
    """
    factors = table("aquatic")["m_factor"]
    top = 10.0 * factors[series][0]["above"]
    for step in factors[series]:
        if step["above"] < concentration <= top:
            return int(step["m"])
    return None

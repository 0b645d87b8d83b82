"""Lot test by 76/211/EEC and SI 2006/659: mean, T1 and T2."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, fsum

from rushlight.errors import BadInput
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import net_table
from rushlight.hazard.netcontents.emark import grams_in_scope
from rushlight.hazard.netcontents.quantile import mean_factor
from rushlight.hazard.netcontents.weights import Weights, deviation
from rushlight.quantity.si import Kilogram

GRAM = 1e-3  # [kg]
ROUNDING = 1e-9
ALL_BELOW = 100  # smaller batches are weighed whole: SI 2006/659, Schedule 2, paragraph 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Directive:
    """The test of one batch; masses [kg].

    tne: tolerable negative error; t1 = nominal − tne, t2 = nominal − 2·tne. factor [1]
    is 0 where all are weighed. below_t1, below_t2: positions of the jars there.
    """

    nominal: Kilogram
    batch: int
    sample: int
    masses: tuple[Kilogram, ...]
    mean: float
    deviation: float
    factor: float
    least_mean: float
    tne: Kilogram
    t1: Kilogram
    t2: Kilogram
    below_t1: tuple[int, ...]
    below_t2: tuple[int, ...]
    allowed_below_t1: int
    mean_holds: bool
    singles_hold: bool
    passes: bool
    verdict: str
    paragraph: str
    source: str
    aid: str = WORKING_AID


def tne(nominal: Kilogram) -> Kilogram:
    """Return the tolerable negative error [kg]: percentages rounded up to the next 0.1 g."""
    grams = grams_in_scope(nominal)
    row = next(r for r in net_table("eu")["tne"]["row"] if grams <= r["up_to_g"])
    if "grams" in row:
        return Kilogram(row["grams"] * GRAM)
    tenths = round(grams * row["percent"] / 10.0, 6)  # percent of grams, in tenths of a gram
    return Kilogram(ceil(tenths) / 10.0 * GRAM)


def directive(weights: Weights, *, nominal: Kilogram, batch: int) -> Directive:
    """Return the test of a batch from net weights: mean ≥ nominal − factor·s, few below T1.

    Batches under 100 are weighed whole: mean ≥ nominal and at most 2.5 % below T1. Larger
    ones by sample: factor t(0.995, n − 1)/√n, and the acceptance number of the plan.
    None may lie below T2. nominal: declared quantity [kg]; batch: jars in it.
    """
    n = len(weights.masses)
    if n == 0 or n > batch:
        raise BadInput.one(
            f"{n} weights cannot come from a batch of {batch}.", "Check the batch size.", "batch"
        )
    data = net_table("eu")
    error = tne(nominal)
    t1, t2 = nominal - error, nominal - 2.0 * error
    slack = ROUNDING * nominal
    below_t1 = tuple(i for i, mass in enumerate(weights.masses) if mass < t1 - slack)
    below_t2 = tuple(i for i, mass in enumerate(weights.masses) if mass < t2 - slack)
    s = deviation(weights.masses)
    mean = fsum(weights.masses) / n
    whole = batch < ALL_BELOW
    sample, allowed = _plan(batch)
    factor = 0.0 if whole or n == 1 else mean_factor(data["mean"]["quantile"], n)
    least = nominal - factor * s
    mean_holds = mean >= least - slack
    singles_hold = len(below_t1) <= allowed and not below_t2
    return Directive(
        nominal=nominal,
        batch=batch,
        sample=sample,
        masses=weights.masses,
        mean=mean,
        deviation=s,
        factor=factor,
        least_mean=least,
        tne=error,
        t1=Kilogram(t1),
        t2=Kilogram(t2),
        below_t1=below_t1,
        below_t2=below_t2,
        allowed_below_t1=allowed,
        mean_holds=mean_holds,
        singles_hold=singles_hold,
        passes=mean_holds and singles_hold,
        verdict=_verdict(
            (mean - nominal, nominal - least), below_t1, below_t2, (n, sample, allowed, batch)
        ),
        paragraph=f"{data['mean']['paragraph']}; {data['single']['paragraph']}",
        source=f"mean {data['mean']['source']}; single packages {data['single']['source']}",
    )


def _plan(batch: int) -> tuple[int, int]:
    """Return how many to weigh and how many of these may lie below T1."""
    data = net_table("eu")
    if batch < ALL_BELOW:
        return batch, int(batch * data["packer"]["below_t1_percent"] / 100.0)
    for row in data["single"]["row"]:
        if batch <= row["batch_to"]:
            return row["first"]["sample"], row["first"]["accept"]
    raise BadInput.one(
        f"A batch of {batch} is beyond the sampling table (10 000).", "Split it.", "batch"
    )


def _verdict(
    mean: tuple[float, float],
    below_t1: tuple[int, ...],
    below_t2: tuple[int, ...],
    counts: tuple[int, int, int, int],
) -> str:
    over, allowance = (value / GRAM for value in mean)
    n, sample, allowed, batch = counts
    mean_ok = over >= -allowance - ROUNDING
    passes = mean_ok and len(below_t1) <= allowed and not below_t2
    lines = [f"By these weights the batch {'passes' if passes else 'fails'} the reference test."]
    lines.append(
        f"The mean is {abs(over):.2f} g {'over' if over >= 0.0 else 'under'} the nominal quantity"
        + (f" (allowance {allowance:.2f} g)." if allowance else ".")
    )
    if below_t1:
        listed = ", ".join(str(i + 1) for i in below_t1)
        lines.append(f"Below T1: jar {listed}; {allowed} may be.")
    if below_t2:
        listed = ", ".join(str(i + 1) for i in below_t2)
        lines.append(f"Below T2: jar {listed}; such a jar may not be sold.")
    if n < sample:
        lines.append(f"The plan weighs {sample} of {batch} jars; only {n} were.")
    return " ".join(lines)

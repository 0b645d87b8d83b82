"""Lot test by 76/211/EEC and SI 2006/659: mean, T1 and T2."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, fsum

from rushlight.errors import BadInput
from rushlight.hazard import WORKING_AID
from rushlight.hazard.data import net_table
from rushlight.hazard.netcontents.emark import grams_in_scope
from rushlight.hazard.netcontents.plan import BelowT1, Plan, Singles, plan, singles
from rushlight.hazard.netcontents.quantile import mean_factor
from rushlight.hazard.netcontents.weights import Weights, deviation
from rushlight.quantity.si import Kilogram

GRAM = 1e-3  # [kg]
ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Directive:
    """The test of one batch; masses [kg].

    tne: tolerable negative error; t1 = nominal − tne, t2 = nominal − 2·tne. factor [1]
    is 0 where all are weighed. below_t1, below_t2: positions of the jars there.
    undecided: a second sample has to be weighed, `further` jars more.
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
    undecided: bool
    further: int
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


def directive(
    weights: Weights,
    *,
    nominal: Kilogram,
    batch: int,
    below_t1: BelowT1 = BelowT1.GUIDE,
    destructive: bool = False,
) -> Directive:
    """Return the test of a batch from net weights: mean ≥ nominal − factor·s, few below T1.

    Batches under 100 are weighed whole: mean ≥ nominal and at most `below_t1` below T1. Larger
    ones by sample: factor t(0.995, n − 1)/√n, and the acceptance numbers of the plan, which
    may ask for a second sample. None may lie below T2. nominal: declared quantity [kg];
    batch: jars in it; destructive: the jars weighed were opened, so 20 are enough.
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
    low = tuple(i for i, mass in enumerate(weights.masses) if mass < t1 - slack)
    below_t2 = tuple(i for i, mass in enumerate(weights.masses) if mass < t2 - slack)
    s = deviation(weights.masses)
    mean = fsum(weights.masses) / n
    asked = plan(batch, below_t1=below_t1, destructive=destructive)
    factor = 0.0 if asked.whole or n == 1 else mean_factor(data["mean"]["quantile"], n)
    least = nominal - factor * s
    mean_holds = mean >= least - slack
    single = Singles.FAIL if below_t2 else singles(asked, low, n)
    passes = mean_holds and single is Singles.HOLD
    undecided = mean_holds and single is Singles.OPEN
    further = asked.second.sample - n if undecided and asked.second else 0
    return Directive(
        nominal=nominal,
        batch=batch,
        sample=asked.first.sample,
        masses=weights.masses,
        mean=mean,
        deviation=s,
        factor=factor,
        least_mean=least,
        tne=error,
        t1=Kilogram(t1),
        t2=Kilogram(t2),
        below_t1=low,
        below_t2=below_t2,
        allowed_below_t1=_allowed(asked, n),
        mean_holds=mean_holds,
        singles_hold=single is Singles.HOLD,
        passes=passes,
        undecided=undecided,
        further=further,
        verdict=" ".join(
            [
                _first_words(further, passes=passes, part=n < asked.first.sample),
                *_words((mean - nominal, nominal - least), low, below_t2, (n, batch), asked),
            ]
        ),
        paragraph=f"{data['mean']['paragraph']}; {data['single']['paragraph']}",
        source=f"mean {data['mean']['source']}; single packages {data['single']['source']}",
    )


def _allowed(asked: Plan, n: int) -> int:
    """How many may lie below T1 at the stage that so many weights have reached."""
    second = asked.second
    return second.accept if second and n >= second.sample else asked.first.accept


def _first_words(further: int, *, passes: bool, part: bool) -> str:
    if further:
        return (
            "By these weights the batch is undecided: the plan asks for a second sample,"
            f" {further} jars more."
        )
    if part:
        would = "would pass" if passes else "would fail"
        return f"By these weights alone, fewer than the plan asks for, the batch {would}."
    return f"By these weights the batch {'passes' if passes else 'fails'} the reference test."


def _words(
    mean: tuple[float, float],
    below_t1: tuple[int, ...],
    below_t2: tuple[int, ...],
    counts: tuple[int, int],
    asked: Plan,
) -> Iterator[str]:
    over, allowance = (value / GRAM for value in mean)
    n, batch = counts
    yield (
        f"The mean is {abs(over):.2f} g {'over' if over >= 0.0 else 'under'} the nominal quantity"
        + (f" (allowance {allowance:.2f} g)." if allowance else ".")
    )
    if below_t1:
        listed = ", ".join(str(i + 1) for i in below_t1)
        yield f"Below T1: jar {listed}; {_allowed(asked, n)} may be."
    if below_t2:
        listed = ", ".join(str(i + 1) for i in below_t2)
        yield f"Below T2: jar {listed}; such a jar may not be sold."
    if n < asked.first.sample:
        yield f"The plan weighs {asked.first.sample} of {batch} jars; only {n} were."

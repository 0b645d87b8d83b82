"""What a pour cost: materials as they left their lots, labour, overhead; in 1/10 000, exactly.

* Materials: what the pour used less what it returned, at the cost of the lots it came from.
  What is left over and thrown away is a loss of its own and no part of the jars' cost.
* Labour: a step that was timed by its times; one that nobody timed by its planned time, for
  the batch or for every jar poured, good or rejected.
* Overhead: a month's by the jars of a month, on the good jars alone, as in planned costs: the
  jars of a month are jars for sale.

Packaging is left out. Jars are packed later, when an order is sent, and perhaps otherwise than was
thought: it leaves the stores then (`packing`), and what it cost is added to the jars where they
earn it (`margins`). In the planned cost of a jar it is from the start.

The parts add up to the cost of the jars; a remainder of a division stays in the parts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Any, Final

from rushlight.cost.exact import half_even
from rushlight.workshop.stores.ledger import MONEY

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping

    from rushlight.workshop.settings import LabourStep, Settings

_HOUR: Final = 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialPart:
    """What the jars bear of one lot: units [mg or pieces] and their cost [1/10 000].

    known: whether it is known what the lot cost; where not, the value is not its whole cost.
    """

    material: str  # slug
    name: str
    role: str
    measure: str
    lot: str  # code
    units: int
    value: int
    known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourPart:
    """A step of the work: seconds, timed at the bench or planned, and their cost [1/10 000]."""

    step: str
    seconds: int
    timed: bool
    cost: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PourCost:
    """What the good jars of a pour cost in all. rate: pay per hour. Money in 1/10 000."""

    materials: tuple[MaterialPart, ...]
    labour: tuple[LabourPart, ...]
    rate: int
    overhead: int
    good: int
    rejected: int

    @property
    def cost(self) -> int:
        """The sum of all parts."""
        parts = (*(m.value for m in self.materials), *(step.cost for step in self.labour))
        return sum(parts) + self.overhead

    @property
    def known(self) -> bool:
        """Whether the cost of every lot is known."""
        return all(part.known for part in self.materials)

    def as_kept(self) -> dict[str, Any]:
        """Return the costing as it is kept with the jars."""
        return asdict(self)


def kept(costing: Mapping[str, Any]) -> PourCost | None:
    """Return a costing that was kept; None for jars from before costs were kept."""
    if not costing:
        return None
    return PourCost(
        materials=tuple(MaterialPart(**part) for part in costing["materials"]),
        labour=tuple(LabourPart(**part) for part in costing["labour"]),
        rate=costing["rate"],
        overhead=costing["overhead"],
        good=costing["good"],
        rejected=costing["rejected"],
    )


def work_of(
    connection: Connection, pour: int, settings: Settings, *, jars: int
) -> tuple[tuple[LabourPart, ...], int]:
    """Return the labour of a pour so far and the pay per hour [1/10 000].

    jars: poured, good or rejected, for steps that nobody timed. A time still running is left out.
    """
    from rushlight.store.queries.pouring import worked_rows

    return labour(
        worked_rows(connection, pour), settings.labour, _units(settings.labour_rate), jars
    )


def labour(
    times: Sequence[RowMapping], steps: Sequence[LabourStep], rate: int, jars: int
) -> tuple[tuple[LabourPart, ...], int]:
    """Return what each step took and cost: the steps of the settings, then others timed."""
    from rushlight.store.marks import moment

    timed: dict[str, float] = {}
    for row in times:
        if row["stopped_at"] is not None:
            spent = moment(row["stopped_at"]) - moment(row["started_at"])
            timed[row["step"]] = timed.get(row["step"], 0.0) + spent.total_seconds()
    planned: dict[str, float] = {}
    for step in steps:
        times_done = 1 if step.per == "batch" else jars
        planned[step.name] = planned.get(step.name, 0.0) + float(step.time) * times_done
    found = []
    for name in dict.fromkeys((*planned, *timed)):
        seconds = round(timed.get(name, planned.get(name, 0.0)))
        cost = half_even(rate * seconds, _HOUR)
        found.append(LabourPart(step=name, seconds=seconds, timed=name in timed, cost=cost))
    return tuple(found), rate


def overhead_of(settings: Settings, good: int) -> int:
    """Return the overhead that so many good jars bear [1/10 000]."""
    return half_even(_units(settings.overhead_per_month) * good, settings.jars_per_month)


def _units(money: Decimal) -> int:
    return int((money * MONEY).to_integral_value(ROUND_HALF_EVEN))

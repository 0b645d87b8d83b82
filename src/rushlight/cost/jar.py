"""What one sold jar costs, every part kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from rushlight.cost.exact import ONE, ZERO, note_amount, note_share
from rushlight.cost.labour import Labour, Step, labour
from rushlight.cost.labour import note_problems as note_labour
from rushlight.cost.overhead import Overhead
from rushlight.cost.overhead import note_problems as note_overhead
from rushlight.errors import Problems

NO_OVERHEAD = Overhead()


@dataclass(frozen=True, slots=True)
class Use:
    """What one jar takes of a material: an amount in a unit, at a cost per unit."""

    name: str
    amount: Decimal
    unit: str
    unit_cost: Decimal

    @property
    def cost(self) -> Decimal:
        """Amount times unit cost."""
        return self.amount * self.unit_cost


@dataclass(frozen=True, slots=True, kw_only=True)
class Costing:
    """Everything the cost of a jar follows from.

    materials: what is poured and assembled, vessel and wick included.
    packaging: what is added to a jar that turned out well. scrap: share of
    jars poured that cannot be sold [1]. steps, rate per hour, and jars of a
    batch make the labour.
    """

    materials: tuple[Use, ...]
    packaging: tuple[Use, ...] = ()
    scrap: Decimal = ZERO
    steps: tuple[Step, ...] = ()
    rate: Decimal = ZERO
    jars: int = 1
    overhead: Overhead = NO_OVERHEAD


@dataclass(frozen=True, slots=True, kw_only=True)
class JarCost:
    """The cost of one sold jar. The parts add up to the total exactly: it is their sum.

    scrap: what the unsold jars add to a sold one: their materials and labour.
    """

    materials: tuple[Use, ...]
    packaging: tuple[Use, ...]
    labour: Labour
    scrap_share: Decimal
    scrap: Decimal
    overhead: Decimal

    @property
    def material(self) -> Decimal:
        """Materials of one jar."""
        return _sum(self.materials)

    @property
    def packing(self) -> Decimal:
        """Packaging of one jar."""
        return _sum(self.packaging)

    @property
    def variable(self) -> Decimal:
        """What every further jar costs: all but the overhead."""
        return self.material + self.packing + self.scrap + self.labour.cost

    @property
    def total(self) -> Decimal:
        """What one sold jar costs."""
        return self.variable + self.overhead

    def parts(self) -> Iterator[tuple[str, Decimal]]:
        """Yield the parts of the total by name."""
        yield "materials", self.material
        yield "packaging", self.packing
        yield "scrap", self.scrap
        yield "labour", self.labour.cost
        yield "overhead", self.overhead


def jar_cost(costing: Costing) -> JarCost:
    """Return what one sold jar costs.

    Of N jars poured N (1 − s) are sold, so a sold jar bears s/(1 − s) of the
    materials and labour of another one; packaging goes only on good jars.
    Raises BadInput with every problem.
    """
    problems = Problems()
    note_problems(costing, problems)
    problems.check()
    work = labour(costing.steps, rate=costing.rate, jars=costing.jars)
    poured = _sum(costing.materials) + work.cost
    return JarCost(
        materials=costing.materials,
        packaging=costing.packaging,
        labour=work,
        scrap_share=costing.scrap,
        scrap=poured * costing.scrap / (ONE - costing.scrap),
        overhead=costing.overhead.of_a_jar(),
    )


def note_problems(costing: Costing, problems: Problems) -> None:
    """Note everything wrong with a costing."""
    for group, uses in (("materials", costing.materials), ("packaging", costing.packaging)):
        for i, use in enumerate(uses):
            note_amount(use.amount, f"{group}.{i}.amount", f"The amount of {use.name}", problems)
            note_amount(use.unit_cost, f"{group}.{i}.price", f"The cost of {use.name}", problems)
    note_share(costing.scrap, "scrap", "The scrap", problems)
    note_labour(costing.steps, costing.rate, costing.jars, problems)
    note_overhead(costing.overhead, problems)


def _sum(uses: Iterable[Use]) -> Decimal:
    return sum((use.cost for use in uses), ZERO)

"""Labour: timed steps, some once a batch and some for every jar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from rushlight.cost.exact import ZERO, note_amount
from rushlight.errors import Problems

MINUTES = Decimal(60)


class Per(StrEnum):
    """Whether a step is done once for the batch or for every jar."""

    BATCH = "batch"
    JAR = "jar"


@dataclass(frozen=True, slots=True)
class Step:
    """A step of the work, timed in minutes."""

    name: str
    minutes: Decimal
    per: Per


@dataclass(frozen=True, slots=True, kw_only=True)
class Labour:
    """Labour of one jar: minutes of each step [min], the rate per hour, the cost of each."""

    rate: Decimal
    steps: tuple[tuple[Step, Decimal], ...]

    @property
    def minutes(self) -> Decimal:
        """Minutes of work in one jar."""
        return sum((minutes for _, minutes in self.steps), ZERO)

    @property
    def cost(self) -> Decimal:
        """Cost of the work in one jar."""
        return self.minutes * self.rate / MINUTES


def labour(steps: Sequence[Step], *, rate: Decimal, jars: int) -> Labour:
    """Return the labour of one jar: a batch step is shared by its jars.

    rate: pay per hour; jars: jars of a batch. Raises BadInput.
    """
    problems = Problems()
    note_problems(steps, rate, jars, problems)
    problems.check()
    shares = tuple(
        (step, step.minutes / jars if step.per is Per.BATCH else step.minutes) for step in steps
    )
    return Labour(rate=rate, steps=shares)


def note_problems(steps: Sequence[Step], rate: Decimal, jars: int, problems: Problems) -> None:
    """Note everything wrong with the labour."""
    note_amount(rate, "rate", "The hourly rate", problems)
    for i, step in enumerate(steps):
        note_amount(step.minutes, f"labour.{i}.minutes", "The time of the step", problems)
    if jars < 1:
        problems.add("jars", "A batch has no jars.", "Give the number of jars in a batch.")

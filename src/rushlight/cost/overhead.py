"""Overhead: rent, insurance, heating and the rest, whether a jar is poured or not."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from rushlight.cost.exact import ZERO, note_amount, note_positive
from rushlight.errors import Problems


@dataclass(frozen=True, slots=True, kw_only=True)
class Overhead:
    """Overhead of a month, or of a jar where that is how she reckons; both may be zero.

    per_month is shared by jars_per_month; per_jar is added to it.
    """

    per_month: Decimal = ZERO
    jars_per_month: Decimal = ZERO
    per_jar: Decimal = ZERO

    def of_a_jar(self) -> Decimal:
        """Return what one jar bears: per_month / jars_per_month + per_jar."""
        if self.per_month == 0:
            return self.per_jar
        return self.per_month / self.jars_per_month + self.per_jar


def note_problems(overhead: Overhead, problems: Problems) -> None:
    """Note everything wrong with the overhead."""
    note_amount(overhead.per_jar, "overhead_per_jar", "The overhead per jar", problems)
    if note_amount(overhead.per_month, "overhead", "The overhead per month", problems) and (
        overhead.per_month > 0
    ):
        note_positive(
            overhead.jars_per_month, "jars_per_month", "The number of jars a month", problems
        )

"""Whole steps of a scale, so that the parts shown add up to the total shown."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

MOST_STEPS = 2**40
"""More steps than this cannot be counted reliably in floats [1]."""


def whole_steps(value: float, step: float) -> int:
    """Return how many whole steps are nearest to a value; a half goes to the even one.

    The one rounding used for parts and totals alike: shown and shared agree.

    value: in any unit; step: in the same unit, more than zero.
    Raises ValueError for a step that is not positive, or a value that is not
    finite or more steps away than a float can tell.
    """
    if not (math.isfinite(step) and step > 0):
        raise ValueError(f"a step must be finite and more than zero, not {step!r}")
    steps = value / step
    if not math.isfinite(steps):
        raise ValueError(f"{value!r} cannot be counted in steps of {step!r}")
    return round(steps)


def apportion(exact: Sequence[float], step: float, total: float | None = None) -> list[int]:
    """Return the parts in whole steps, whose sum is the total in whole steps.

    Largest remainder: every part is first cut down to whole steps, then the
    steps still missing go, one each, to the parts that were cut the most.
    Of parts cut alike the larger comes first, then the earlier. So every part
    is within one step of its exact value, and nothing stays nothing.

    exact: the parts [any one unit], zero or more; step: what the scale shows
    [the same unit]; total: the sum that is shown [the same unit], that of the
    parts where it is left out.
    Returns whole steps, in the order of `exact`; their sum is `round(total / step)`.
    Raises ValueError for parts that are negative or not finite, for more than
    2⁴⁰ steps, and for a total out of reach with every part within one step.
    """
    if any(not (math.isfinite(part) and part >= 0) for part in exact):
        raise ValueError("parts must be finite and zero or more")
    goal = whole_steps(math.fsum(exact) if total is None else total, step)
    if goal > MOST_STEPS:
        raise ValueError(f"{goal} steps are too many to share out")
    parts = [Fraction(part) / Fraction(step) for part in exact]
    shares = [math.floor(part) for part in parts]
    order = sorted(
        (i for i, part in enumerate(parts) if part > 0),
        key=lambda i: (shares[i] - parts[i], -parts[i], i),
    )
    missing = goal - sum(shares)
    if not 0 <= missing <= len(order):
        raise ValueError(f"a total of {goal} steps is out of reach of the parts")
    for i in order[:missing]:
        shares[i] += 1
    return shares

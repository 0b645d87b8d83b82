"""Exact money: the checks every figure passes, and sharing a sum without losing a penny."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from rushlight.errors import Problems

LEDGER = Decimal("0.0001")
"""Smallest money the ledger keeps: 1/10 000 of the currency."""
MOST = Decimal(10) ** 9
"""No price, cost or quantity of a small workshop is larger; a larger one is a slip."""
ZERO, ONE, HUNDRED = Decimal(0), Decimal(1), Decimal(100)


def note_amount(value: Decimal, place: str, what: str, problems: Problems) -> bool:
    """Note a figure that is not finite, is negative or is beyond belief; return whether it is good.

    what: how to call it in a sentence, such as "The pack price".
    """
    if not value.is_finite():
        problems.add(place, f"{what} is not a number.", "Type a plain amount, such as 4.20.")
    elif value < 0:
        problems.add(place, f"{what} is below zero.", "Type an amount of zero or more.")
    elif value > MOST:
        problems.add(place, f"{what} is larger than any workshop's.", "Check the decimal point.")
    else:
        return True
    return False


def note_positive(value: Decimal, place: str, what: str, problems: Problems) -> bool:
    """Note a figure that is no amount, or zero; return whether it is good."""
    if not note_amount(value, place, what, problems):
        return False
    if value == 0:
        problems.add(place, f"{what} is zero.", "Type an amount of more than zero.")
    return value > 0


def note_share(value: Decimal, place: str, what: str, problems: Problems) -> bool:
    """Note a share [1] that is not from 0 up to, not including, 1; return whether it is good."""
    if value.is_finite() and 0 <= value < 1:
        return True
    problems.add(
        place,
        f"{what} is not from 0 up to 100 %.",
        "Type a percentage of zero or more and under 100 %.",
    )
    return False


def share_out(
    total: Decimal, weights: Sequence[Decimal], *, step: Decimal = LEDGER
) -> tuple[Decimal, ...]:
    """Return `total` shared in proportion to weights, in whole steps that sum to it exactly.

    Largest remainder: every share is cut down to whole steps, and the steps
    left over go to the largest remainders, the earlier first where equal.
    Every share is within one step of its exact value.

    total: a multiple of step; weights: zero or more, not all zero.
    Raises ValueError otherwise.
    """
    steps = Fraction(total) / Fraction(step)
    whole = sum((Fraction(w) for w in weights), Fraction(0))
    if steps.denominator != 1 or steps < 0 or whole <= 0 or min(weights) < 0:
        raise ValueError("needs a total in whole steps and weights of zero or more, not all zero")
    exact = [steps * Fraction(w) / whole for w in weights]
    shares = [int(part) for part in exact]
    order = sorted(range(len(exact)), key=lambda i: (shares[i] - exact[i], i))
    for i in order[: int(steps) - sum(shares)]:
        shares[i] += 1
    return tuple(step * share for share in shares)


def half_even(value: int, over: int) -> int:
    """Return value / over to the nearest whole, a half to the even one. over: above 0."""
    whole, rest = divmod(value, over)
    return whole + (2 * rest > over or (2 * rest == over and whole % 2 == 1))


def share_of(value: int, of: int, units: int) -> int:
    """Return what `units` of the `of` units that are left take of the value that is left.

    value × units / of, rounded to the nearest whole, a half to the even one; the last units
    take all that is left, so that nothing is ever lost or made.

    value: what is left [1/10 000]; of, units: in the same whole units [mg or pieces], of above
    0, units from 0 to of. Raises ValueError otherwise.
    """
    if not 0 <= units <= of or of == 0:
        raise ValueError(f"{units} units cannot be taken of {of}")
    return half_even(value * units, of)


def shown(parts: Sequence[Decimal], *, step: Decimal = Decimal("0.01")) -> tuple[Decimal, ...]:
    """Return parts as shown, so that they add up to their sum as shown.

    parts: money, zero or more; step: the smallest coin shown.
    """
    total = (sum(parts, ZERO) / step).to_integral_value() * step
    if total == 0:
        return tuple(ZERO for _ in parts)
    return share_out(total, parts, step=step)


def round_up(price: Decimal, step: Decimal = Decimal("0.50")) -> Decimal:
    """Return a price rounded up to a multiple of `step`, as makers do before they print it."""
    return (price / step).to_integral_value(rounding=ROUND_CEILING) * step

"""Money in whole coins, rounded so that a column comes to the total that stands under it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from rushlight.cost.exact import LEDGER
from rushlight.quantity.money import CURRENCIES
from rushlight.quantity.preference import Preference


def coin(pref: Preference) -> Decimal:
    """Return the smallest coin of the workshop's currency."""
    known = CURRENCIES.get(pref.currency)
    return Decimal(1).scaleb(-(2 if known is None else known.places))


def symbol(pref: Preference) -> str:
    """Return what stands for the workshop's currency beside a field."""
    known = CURRENCIES.get(pref.currency)
    return pref.currency if known is None else known.symbol


def whole(value: Decimal, step: Decimal) -> Decimal:
    """Return an amount in whole coins, a half to the even one."""
    return (value / step).to_integral_value(ROUND_HALF_EVEN) * step


def adding_up(values: Sequence[Decimal], step: Decimal) -> list[Decimal]:
    """Return amounts in whole coins that come to their sum in whole coins.

    Each is cut down to whole coins, those left over go to what was cut the most, the earlier
    first: the largest remainder, for amounts below nought as well. Every one is within a coin.
    """
    exact = [value / step for value in values]
    coins = [int(part.to_integral_value(ROUND_FLOOR)) for part in exact]
    goal = int(sum(exact, Decimal(0)).to_integral_value(ROUND_HALF_EVEN))
    order = sorted(range(len(exact)), key=lambda at: (coins[at] - exact[at], at))
    for at in order[: goal - sum(coins)]:
        coins[at] += 1
    return [count * step for count in coins]


def ledger(value: Decimal | None) -> Decimal | None:
    """Return an amount to the 1/10 000 that the ledger keeps, as a spreadsheet has it."""
    return None if value is None else value.quantize(LEDGER, rounding=ROUND_HALF_EVEN)

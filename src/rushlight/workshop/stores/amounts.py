"""Amounts and money of the stores as they are typed and kept."""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal
from typing import TYPE_CHECKING, Final

from rushlight.quantity import parse
from rushlight.workshop.material_views import Amount, Measure, amount_reader
from rushlight.workshop.stores.ledger import MONEY
from rushlight.workshop.typed import within

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from rushlight.quantity.preference import Preference

MOST_MONEY: Final = 10_000_000
"""More than any workshop pays at once, in its currency."""
MOST_UNITS: Final = {Measure.MASS: 10**12, Measure.PIECES: 10**8}
"""More than any workshop holds [mg or pieces]."""


def money(units: int) -> Decimal:
    """Return money of the ledger in the currency."""
    return Decimal(int(units)) / MONEY


def money_reader(currency: str) -> Callable[[str], int]:
    """Return the parser of an amount of money, in 1/10 000 of the currency."""
    read = within(
        lambda text: parse.money(text, currency=currency), 0, MOST_MONEY, "from 0 to 10,000,000"
    )

    def units(text: str) -> int:
        return int((read(text) * MONEY).to_integral_value(ROUND_HALF_EVEN))

    return units


def reader(measure: Measure, pref: Preference) -> Callable[[str], Amount]:
    """Return the parser of an amount; a mass without a unit is in that of the workshop."""
    return amount_reader(measure, unit=pref.mass)


def like(measure: Measure) -> str:
    """Return what to type for an amount."""
    return f"Type it, like {'24' if measure is Measure.PIECES else '5 kg'}."


def preference_of(connection: Connection) -> Preference:
    """Return how the workshop shows and types units and money."""
    from rushlight.store.queries.others import settings
    from rushlight.workshop.settings import settings_of

    return settings_of(settings(connection)).preference

"""Where a jar is sold, and what selling there takes.

Every channel is the same arithmetic: the maker's price is a share of retail
(1 but for wholesale), and each fee takes a percentage of the maker's price and
a fixed sum per jar.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum

from rushlight.cost.exact import MOST, ONE, ZERO, note_amount, note_positive, note_share
from rushlight.errors import Problems


class Kind(StrEnum):
    """The kinds of channel."""

    DIRECT = "direct"
    STALL = "market stall"
    SHOP = "own web shop"
    MARKETPLACE = "marketplace"
    WHOLESALE = "wholesale"
    CONSIGNMENT = "consignment"


@dataclass(frozen=True, slots=True)
class Fee:
    """One fee: a percentage of the maker's price [1] and a fixed sum per jar."""

    name: str
    percent: Decimal = ZERO
    fixed: Decimal = ZERO

    def at(self, price: Decimal) -> Decimal:
        """Return what the fee takes of a price."""
        return self.percent * price + self.fixed


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """A channel: its fees, the maker's share of retail [1], the least order it takes (money)."""

    kind: Kind
    name: str
    fees: tuple[Fee, ...] = ()
    of_retail: Decimal = ONE
    minimum_order: Decimal = ZERO

    @property
    def percent(self) -> Decimal:
        """All percentage fees together [1]."""
        return sum((fee.percent for fee in self.fees), ZERO)

    @property
    def fixed(self) -> Decimal:
        """All fixed fees of a jar together."""
        return sum((fee.fixed for fee in self.fees), ZERO)

    def minimum_jars(self, price: Decimal) -> int:
        """Return how many jars at the maker's price make the least order."""
        if self.minimum_order == 0 or price <= 0:
            return 1
        jars = (self.minimum_order / price).to_integral_value(rounding=ROUND_CEILING)
        return max(int(jars), 1)


def direct(name: str = "direct") -> Channel:
    """Return a sale at the bench: no fee."""
    return Channel(kind=Kind.DIRECT, name=name)


def stall(
    *,
    day: Decimal,
    jars_a_day: Decimal,
    percent: Decimal = ZERO,
    fixed: Decimal = ZERO,
    name: str = "market stall",
) -> Channel:
    """Return a stall: its fee for the day shared by the jars sold, and a fee per sale.

    day: fee per day; jars_a_day: jars sold in a day; percent [1], fixed: per jar.
    Raises BadInput.
    """
    problems = Problems()
    note_amount(day, "day", "The fee per day", problems)
    note_positive(jars_a_day, "jars_a_day", "The number of jars sold in a day", problems)
    problems.check()
    fees = (Fee("pitch", fixed=day / jars_a_day), Fee("card", percent, fixed))
    return _checked(Channel(kind=Kind.STALL, name=name, fees=fees))


def shop(
    *, percent: Decimal, fixed: Decimal, jars_an_order: Decimal = ONE, name: str = "own web shop"
) -> Channel:
    """Return an own web shop: the card's percentage [1] and fixed sum per order. Raises BadInput.

    jars_an_order: how many jars share an order's fixed sum.
    """
    problems = Problems()
    note_positive(jars_an_order, "jars_an_order", "The number of jars in an order", problems)
    note_amount(fixed, "fixed", "The fixed fee per order", problems)
    problems.check()
    fees = (Fee("card", percent, fixed / jars_an_order),)
    return _checked(Channel(kind=Kind.SHOP, name=name, fees=fees))


def marketplace(
    *, listing: Decimal, percent: Decimal, fixed: Decimal = ZERO, name: str = "marketplace"
) -> Channel:
    """Return a marketplace: a listing fee and a fixed sum per jar, a percentage [1] of the price.

    Raises BadInput.
    """
    fees = (Fee("listing", fixed=listing), Fee("commission", percent, fixed))
    return _checked(Channel(kind=Kind.MARKETPLACE, name=name, fees=fees))


def wholesale(
    *, of_retail: Decimal, minimum_order: Decimal = ZERO, name: str = "wholesale"
) -> Channel:
    """Return wholesale: the maker's price as a share of retail [1], and the least order in money.

    Raises BadInput.
    """
    return _checked(
        Channel(kind=Kind.WHOLESALE, name=name, of_retail=of_retail, minimum_order=minimum_order)
    )


def consignment(*, percent: Decimal, name: str = "consignment") -> Channel:
    """Return consignment: the shop keeps a percentage [1] of what it sells. Raises BadInput."""
    fees = (Fee("commission", percent),)
    return _checked(Channel(kind=Kind.CONSIGNMENT, name=name, fees=fees))


def note_problems(channel: Channel, problems: Problems) -> None:
    """Note everything wrong with a channel."""
    for fee in channel.fees:
        note_share(fee.percent, "percent", f"The {fee.name} percentage", problems)
        note_amount(fee.fixed, "fixed", f"The {fee.name} fee", problems)
    if all(fee.percent.is_finite() for fee in channel.fees) and channel.percent >= 1:
        problems.add(
            "percent",
            "The fees take the whole price.",
            "Check them: together they stay under 100 %.",
        )
    if not (channel.of_retail.is_finite() and 0 < channel.of_retail <= 1):
        problems.add(
            "of_retail",
            "The share of retail is not above 0 and up to 100 %.",
            "Type the percentage of the retail price that reaches you, such as 50 %.",
        )
    if not (channel.minimum_order.is_finite() and 0 <= channel.minimum_order <= MOST):
        problems.add(
            "minimum_order", "The least order is no amount of money.", "Type it in money, or 0."
        )


def _checked(channel: Channel) -> Channel:
    problems = Problems()
    note_problems(channel, problems)
    problems.check()
    return channel

"""From cost to price and back.

**Margin and markup are not the same.** Margin is profit as a share of the
*price*, markup is profit as a share of the *cost*. A jar that costs 4 and
sells for 10 makes 6: a margin of 60 % and a markup of 150 %. Margin stays
under 100 %, markup may be anything; m = k / (1 + k) where nothing is lost to
fees.

The price is the maker's own. Through wholesale it is a share of retail.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from rushlight.cost.channel import Channel, note_problems
from rushlight.cost.exact import HUNDRED, ONE, note_amount, note_positive, note_share
from rushlight.errors import Problems


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """A jar at a price through a channel, every step from retail to profit kept.

    cost: of the jar; price: what the maker asks for it.
    """

    channel: Channel
    cost: Decimal
    price: Decimal

    @property
    def retail(self) -> Decimal:
        """What the jar costs in the end in the shop."""
        return self.price / self.channel.of_retail

    @property
    def fees(self) -> tuple[tuple[str, Decimal], ...]:
        """Each fee by name."""
        return tuple((fee.name, fee.at(self.price)) for fee in self.channel.fees)

    @property
    def takings(self) -> Decimal:
        """What reaches the maker."""
        return self.price * (ONE - self.channel.percent) - self.channel.fixed

    @property
    def profit(self) -> Decimal:
        """What is left after the jar is paid for; negative where it is sold at a loss."""
        return self.takings - self.cost

    @property
    def margin(self) -> Decimal:
        """Profit as a share of the price [1]."""
        return self.profit / self.price

    @property
    def markup(self) -> Decimal | None:
        """Profit as a share of the cost [1]; None for a jar that costs nothing."""
        return self.profit / self.cost if self.cost else None

    @property
    def minimum_jars(self) -> int:
        """Jars that make the channel's least order."""
        return self.channel.minimum_jars(self.price)

    def explain(self) -> str:
        """Say margin and markup in a sentence, so that one is not taken for the other."""
        first = f"Margin {_percent(self.margin)} is profit as a share of the price"
        if self.markup is None:
            return f"{first}."
        return (
            f"{first}; the same profit as a share of the cost is a markup of "
            f"{_percent(self.markup)}."
        )


def at_price(cost: Decimal, channel: Channel, *, price: Decimal) -> Priced:
    """Return what a jar earns at the maker's price. Raises BadInput."""
    problems = _problems(cost, channel)
    note_positive(price, "price", "The price", problems)
    problems.check()
    return Priced(channel=channel, cost=cost, price=price)


def at_retail(cost: Decimal, channel: Channel, *, retail: Decimal) -> Priced:
    """Return what a jar earns at a price in the shop: the maker's is its share. Raises BadInput."""
    problems = _problems(cost, channel)
    note_positive(retail, "retail", "The retail price", problems)
    problems.check()
    return Priced(channel=channel, cost=cost, price=retail * channel.of_retail)


def for_margin(cost: Decimal, channel: Channel, *, margin: Decimal) -> Priced:
    """Return the price that leaves a margin [1] after the fees. Raises BadInput.

    price = (cost + fixed fees) / (1 − percentage fees − margin).
    """
    problems = _problems(cost, channel)
    if note_share(margin, "margin", "The margin", problems) and not problems.found:
        keep = ONE - channel.percent - margin
        if keep <= 0:
            problems.add(
                "margin",
                f"Fees of {_percent(channel.percent)} and a margin of {_percent(margin)} "
                "leave nothing to pay for the jar.",
                f"Type a margin under {_percent(ONE - channel.percent)} for this channel.",
            )
    problems.check()
    return at_price(cost, channel, price=(cost + channel.fixed) / (ONE - channel.percent - margin))


def for_markup(cost: Decimal, channel: Channel, *, markup: Decimal) -> Priced:
    """Return the price whose profit after the fees is a markup [1] on the cost. Raises BadInput.

    price = (cost (1 + markup) + fixed fees) / (1 − percentage fees).
    """
    problems = _problems(cost, channel)
    note_amount(markup, "markup", "The markup", problems)
    problems.check()
    return for_profit(cost, channel, profit=cost * markup)


def for_profit(cost: Decimal, channel: Channel, *, profit: Decimal) -> Priced:
    """Return the price that leaves a wanted profit on every jar. Raises BadInput.

    price = (cost + profit + fixed fees) / (1 − percentage fees).
    """
    problems = _problems(cost, channel)
    note_amount(profit, "profit", "The wanted profit", problems)
    problems.check()
    return at_price(cost, channel, price=(cost + profit + channel.fixed) / (ONE - channel.percent))


def _problems(cost: Decimal, channel: Channel) -> Problems:
    problems = Problems()
    note_amount(cost, "cost", "The cost of the jar", problems)
    note_problems(channel, problems)
    return problems


def _percent(share: Decimal) -> str:
    return f"{share * HUNDRED:.1f} %"

"""What a price is set by: a margin, a markup, a profit on each jar, or simply a price."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from rushlight.cost.channel import Channel
from rushlight.cost.price import Priced, at_price, for_margin, for_markup, for_profit


class AimFor(StrEnum):
    """What a price is set by."""

    MARGIN = "margin"
    MARKUP = "markup"
    PROFIT = "profit"
    PRICE = "price"


@dataclass(frozen=True, slots=True)
class Aim:
    """What to aim for, and how much of it: a share [1] for margin and markup, else money."""

    at: AimFor
    amount: Decimal

    def price(self, cost: Decimal, channel: Channel) -> Priced:
        """Return the price through a channel that meets the aim. Raises BadInput."""
        match self.at:
            case AimFor.MARGIN:
                return for_margin(cost, channel, margin=self.amount)
            case AimFor.MARKUP:
                return for_markup(cost, channel, markup=self.amount)
            case AimFor.PROFIT:
                return for_profit(cost, channel, profit=self.amount)
            case AimFor.PRICE:
                return at_price(cost, channel, price=self.amount)


USUAL_AIM = Aim(AimFor.MARGIN, Decimal("0.5"))
"""Half the price, where she names no aim: common practice."""
AIMS = tuple(str(aim) for aim in AimFor)
"""The fields an aim may be typed in."""
SHARES = (AimFor.MARGIN, AimFor.MARKUP)
"""The aims that are shares [1]; the others are money."""

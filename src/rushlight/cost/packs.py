"""Materials are bought in packs; a jar takes a part of one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from enum import StrEnum

from rushlight.cost.exact import ZERO, note_amount, note_positive
from rushlight.errors import BadInput, Problems


class Buying(StrEnum):
    """What a need costs: the share of the packs it uses up, or the packs it makes her buy."""

    PRO_RATA = "pro rata"
    WHOLE_PACKS = "whole packs"


@dataclass(frozen=True, slots=True)
class Tier:
    """The price of one pack when at least `packs` of them are bought together."""

    packs: int
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A pack on sale: size in a unit of the material ("kg", "l", "piece"), tiers of its price.

    delivery: freight and duty that came to each pack, where they are known
    (`rushlight.cost.landed` shares them over an order).
    """

    unit: str
    size: Decimal
    tiers: tuple[Tier, ...]
    delivery: Decimal = ZERO

    @classmethod
    def plain(cls, *, unit: str, size: Decimal, price: Decimal) -> Offer:
        """Return an offer with one price whatever the number."""
        return cls(unit=unit, size=size, tiers=(Tier(1, price),))

    def price(self, packs: int) -> Decimal:
        """Return the price of one pack when `packs` are bought together, before delivery."""
        reached = [tier for tier in self.tiers if tier.packs <= packs]
        return max(reached, key=lambda tier: tier.packs).price

    def unit_cost(self, packs: int = 1) -> Decimal:
        """Return the landed cost of one unit when `packs` are bought together."""
        return (self.price(packs) + self.delivery) / self.size


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """What a need costs: packs bought and paid, what of it the need uses up, what is left."""

    packs: int
    paid: Decimal
    unit_cost: Decimal
    cost: Decimal
    left_over: Decimal


def note_problems(offer: Offer, problems: Problems, place: str = "") -> None:
    """Note everything wrong with an offer."""
    dot = f"{place}." if place else ""
    note_positive(offer.size, f"{dot}pack", "The pack size", problems)
    note_amount(offer.delivery, f"{dot}delivery", "The delivery per pack", problems)
    for i, tier in enumerate(offer.tiers):
        where = f"{dot}tiers.{i}" if i else f"{dot}price"
        note_amount(tier.price, where, "The pack price", problems)
    numbers = [tier.packs for tier in offer.tiers]
    if not numbers or min(numbers) != 1 or len(set(numbers)) < len(numbers):
        problems.add(
            f"{dot}tiers",
            "The price tiers do not start at one pack, or name a number twice.",
            "Give the price of one pack, then each larger number once.",
        )


def buy(offer: Offer, *, needed: Decimal, buying: Buying = Buying.PRO_RATA) -> Purchase:
    """Return what it costs to have `needed` units.

    The packs needed decide the tier. If a higher tier makes more packs cheaper
    in all, they are bought: the whole cost is what counts. Pro rata, the need
    bears its share of a pack; by whole packs it bears all that was paid.
    Raises BadInput.
    """
    problems = Problems()
    note_problems(offer, problems)
    note_amount(needed, "needed", "The amount needed", problems)
    problems.check()
    least = max(int((needed / offer.size).to_integral_value(rounding=ROUND_CEILING)), 0)
    if least == 0:
        return Purchase(packs=0, paid=ZERO, unit_cost=offer.unit_cost(), cost=ZERO, left_over=ZERO)
    counts = {least, *(tier.packs for tier in offer.tiers if tier.packs > least)}
    packs = min(counts, key=lambda n: (n * (offer.price(n) + offer.delivery), n))
    if buying is Buying.PRO_RATA:
        packs = least
    paid = packs * (offer.price(packs) + offer.delivery)
    whole = buying is Buying.WHOLE_PACKS
    cost = paid if whole else needed * offer.unit_cost(packs)
    return Purchase(
        packs=packs,
        paid=paid,
        unit_cost=cost / needed,
        cost=cost,
        left_over=packs * offer.size - needed,
    )


def cheapest(offers: Sequence[Offer], *, needed: Decimal, buying: Buying) -> tuple[int, Purchase]:
    """Return the index of the offer that serves a need for the least, and the purchase."""
    if not offers or len({offer.unit for offer in offers}) != 1:
        raise BadInput.one(
            "The offers cannot be compared.",
            "Give at least one offer, all in the same unit.",
            "offers",
        )
    bought = [buy(offer, needed=needed, buying=buying) for offer in offers]
    best = min(range(len(bought)), key=lambda i: (bought[i].cost, i))
    return best, bought[best]

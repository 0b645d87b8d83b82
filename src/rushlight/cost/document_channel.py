"""One channel of a price document, and what to aim for there."""

from __future__ import annotations

from collections.abc import Callable

from rushlight.cost.aim import AIMS, SHARES, Aim, AimFor
from rushlight.cost.channel import (
    Channel,
    Kind,
    consignment,
    direct,
    marketplace,
    shop,
    stall,
    wholesale,
)
from rushlight.cost.document_fields import Fields
from rushlight.cost.exact import ONE
from rushlight.errors import BadInput, Problems

_ALLOWED: dict[Kind, tuple[str, ...]] = {
    Kind.DIRECT: (),
    Kind.STALL: ("day", "jars_a_day", "percent", "fixed"),
    Kind.SHOP: ("percent", "fixed", "jars_an_order"),
    Kind.MARKETPLACE: ("listing", "percent", "fixed"),
    Kind.WHOLESALE: ("of_retail", "minimum_order"),
    Kind.CONSIGNMENT: ("percent",),
}
CHANNEL_KEYS = ("kind", "name", *dict.fromkeys(key for keys in _ALLOWED.values() for key in keys))
"""Every field a channel may have, whatever its kind."""


def read_channel(fields: Fields) -> Channel | None:
    """Return a channel; None where what was typed makes none, its problems noted."""
    typed = fields.text("kind")
    if typed not in tuple(Kind):
        fields.note(
            "kind",
            f"“{typed}” is not a kind of channel." if typed else "The kind of channel is missing.",
            "Type " + ", ".join(f'"{kind}"' for kind in Kind) + ".",
        )
        return None
    kind = Kind(typed)
    for key in CHANNEL_KEYS:
        if key in fields and key not in ("kind", "name", *_ALLOWED[kind]):
            fields.note(key, f"A {kind} channel has no such fee.", "Leave it out.")
    before = len(fields.problems.found)
    name = fields.text("name", kind)
    builders: dict[Kind, Callable[[], Channel]] = {
        Kind.DIRECT: lambda: direct(name),
        Kind.STALL: lambda: stall(
            day=fields.money("day"),
            jars_a_day=fields.number("jars_a_day", ONE),
            percent=fields.share("percent"),
            fixed=fields.money("fixed"),
            name=name,
        ),
        Kind.SHOP: lambda: shop(
            percent=fields.share("percent"),
            fixed=fields.money("fixed"),
            jars_an_order=fields.number("jars_an_order", ONE),
            name=name,
        ),
        Kind.MARKETPLACE: lambda: marketplace(
            listing=fields.money("listing"),
            percent=fields.share("percent"),
            fixed=fields.money("fixed"),
            name=name,
        ),
        Kind.WHOLESALE: lambda: wholesale(
            of_retail=fields.share("of_retail", ONE),
            minimum_order=fields.money("minimum_order"),
            name=name,
        ),
        Kind.CONSIGNMENT: lambda: consignment(percent=fields.share("percent"), name=name),
    }
    if kind is Kind.WHOLESALE:
        fields.needed("of_retail", "The share of retail", "50 %")
    try:
        channel = builders[kind]()
    except BadInput as bad:
        said = Problems()
        said.extend(bad.problems)
        fields.add_unsaid(said)
        return None
    return channel if len(fields.problems.found) == before else None


def read_aim(fields: Fields, usual: Aim) -> Aim:
    """Return what to aim for; the usual aim where nothing is typed."""
    typed = [key for key in AIMS if key in fields]
    for key in typed[1:]:
        fields.note(
            key, f"There is a {typed[0]} to aim for already.", f"Keep one of {', '.join(typed)}."
        )
    if not typed:
        return usual
    at = AimFor(typed[0])
    read = fields.share if at in SHARES else fields.money
    before = len(fields.problems.found)
    amount = read(at)
    if len(fields.problems.found) > before:
        return usual
    if at is AimFor.MARGIN and amount >= 1:
        fields.note(
            at,
            "A margin is a share of the price and stays under 100 %.",
            "Type a smaller margin, or a markup, which is a share of the cost.",
        )
    if at is AimFor.PRICE and amount == 0:
        fields.note(at, "The price is zero.", "Type a price of more than zero.")
    return Aim(at, amount)

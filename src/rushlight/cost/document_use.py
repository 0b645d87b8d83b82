"""One material or packaging line of a price document."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from rushlight.candle.document_table import rows
from rushlight.cost.amounts import Amount
from rushlight.cost.document_fields import Fields
from rushlight.cost.exact import ONE, note_amount, note_positive
from rushlight.cost.jar import Use
from rushlight.cost.packs import Offer, Tier
from rushlight.cost.packs import note_problems as note_offer
from rushlight.errors import Problems

USE_KEYS = ("of", "pack", "price", "delivery", "packs", "amount", "tiers")

_PIECES = {"piece": "pieces", "kg": "a mass", "l": "a volume"}


def read_use(fields: Fields, known: Mapping[str, Amount]) -> tuple[str, Use]:
    """Return the name and what one jar takes of it; problems are noted, a stand-in returned."""
    fields.needed("of", "The name", "wax")
    fields.needed("pack", "The size of the pack", "10 kg")
    fields.needed("price", "The price of the pack", "62.00")
    name = fields.text("of", "?")
    pack = fields.amount("pack") or Amount(ONE, "piece")
    per_jar = _per_jar(fields, name, known)
    if {"pack", "price"} <= fields.raw.keys() and per_jar.unit != pack.unit:
        fields.note(
            "pack",
            f"The pack is {_PIECES[pack.unit]}, but a jar takes {_PIECES[per_jar.unit]} of {name}.",
            "Give both alike: the pack as it is weighed, measured or counted into the jar.",
        )
    offer = Offer(
        unit=pack.unit,
        size=pack.value,
        tiers=(Tier(1, fields.money("price")), *_tiers(fields)),
        delivery=fields.money("delivery"),
    )
    wrong = Problems()
    packs = fields.count("packs", 1)
    note_amount(per_jar.value, "amount", f"The amount of {name}", wrong)
    note_positive(Decimal(packs), "packs", "The number of packs", wrong)
    note_offer(offer, wrong)
    if wrong.found:
        fields.add_unsaid(wrong)
        return name, Use(name, ONE, pack.unit, ONE)
    return name, Use(name, per_jar.value, pack.unit, offer.unit_cost(packs))


def _per_jar(fields: Fields, name: str, known: Mapping[str, Amount]) -> Amount:
    """Return what one jar takes: as typed, else of the candle's sheet, else one piece."""
    typed = fields.amount("amount")
    if typed is not None:
        return typed
    if "of" in fields and "amount" not in fields and known and name not in known:
        fields.note(
            "of",
            f"The candle has no “{name}”.",
            f"Use one of {', '.join(sorted(known))}, or type the amount of one jar.",
        )
    return known.get(name, Amount(ONE, "piece"))


def _tiers(fields: Fields) -> list[Tier]:
    tiers = []
    for at, row in rows(fields.raw.get("tiers"), f"{fields.place}.tiers", fields.problems):
        tier = fields.inner(row, at, ("packs", "price"))
        if tier.needed("packs", "The number of packs", "5") and tier.needed(
            "price", "The price of the pack", "57.00"
        ):
            tiers.append(Tier(tier.count("packs"), tier.money("price")))
    return tiers

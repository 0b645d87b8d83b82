"""A small workshop whose figures can be worked by hand, for the tests of the stores.

A candle "Oar": 200 g of soy, a tumbler and a wick, nothing lost. 12.00 an hour: 60 min of
setting up a batch and 3 min a jar. Overhead 100.00 a month over 50 jars: 2.00 a jar.
"""

from __future__ import annotations

from collections.abc import Mapping

from rushlight.workshop import Workshop, candles, materials, pours, settings
from rushlight.workshop.stores import lots, receiving

OAR = {
    "name": "Oar",
    "vessel": {"use": "Test tumbler"},
    "fill": {"net": "200 g"},
    "wax": {"use": "Test soy"},
    "wick": {"use": "Test wick"},
}
_MATERIALS = (
    ("wax", "Test soy", "soy container"),
    ("vessel", "Test tumbler", "straight tumbler"),
    ("wick", "Test wick", "cotton flat"),
)


def equip(shop: Workshop) -> None:
    """Put settings, materials and the candle into place; nothing is in stores yet."""
    steps = {f"labour.{i}.{key}": "" for i in range(2, 4) for key in ("step", "time")}
    steps |= {"labour.0.step": "Set up", "labour.0.time": "60 min", "labour.0.per": "batch"}
    steps |= {"labour.1.step": "Pour", "labour.1.time": "3 min", "labour.1.per": "jar"}
    money = {"labour_rate": "12", "overhead": "100", "jars_per_month": "50"}
    settings.change(shop, {**steps, **money, "residue": "0 g", "spill": "0 %"})
    for role, name, kind in _MATERIALS:
        materials.save(shop, None, {"role": role, "name": name, "kind": kind})
    candles.save(shop, None, OAR)


def stock(shop: Workshop) -> None:
    """Receive 50 tumblers at 1.50, 50 wicks at 0.10."""
    receive(shop, "test-tumbler", "50", "75.00")
    receive(shop, "test-wick", "50", "5.00")


def receive(shop: Workshop, material: str, pack: str, price: str, **more: str) -> str:
    """Receive one pack of a material as a delivery of its own; return the code of its lot."""
    line = {"material": material, "packs": "1", "pack": pack, "price": price, **more}
    typed = {f"lines.0.{field}": text for field, text in line.items()}
    view = receiving.receive(shop, {"supplier": "Nobody", **typed})
    return view.lots[0].code


def running(shop: Workshop, jars: int = 10, typed: Mapping[str, str] | None = None) -> int:
    """Plan and start a pour of the candle; return its number."""
    number = pours.plan(shop, "oar", {"jars": str(jars)}, shop.today()).id
    pours.start(shop, number, typed)
    return number


def left(shop: Workshop, code: str) -> tuple[int, int]:
    """Return what is left of a lot of a material and what it is worth, in ledger units."""
    line = lots.get(shop, code).line
    return line.left.units, 0 if line.worth is None else int(line.worth * 10_000)

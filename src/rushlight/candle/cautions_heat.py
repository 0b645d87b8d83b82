"""Cautions of heat: flash points, and temperatures beside the wax's own windows."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.candle.parts import Candle, Oil, Window
from rushlight.candle.said import difference, temperature
from rushlight.candle.sheet import Caution, Weight
from rushlight.candle.water import ICE
from rushlight.candle.windows import FLASH_MARGIN
from rushlight.quantity.si import Kelvin

FLASH_RULE = "29 CFR 1910.106(a)(19)"
PRACTICE = "common practice"
SCORCHING = Kelvin(ICE + 120)
"""120 °C [K]: no step of a container candle needs wax this hot (common practice)."""


def heat_cautions(candle: Candle) -> Iterator[Caution]:
    """Yield the cautions of the addition and pour temperatures."""
    wax = candle.wax
    if candle.load is not None and candle.load.amount > 0:
        for i, oil in enumerate(candle.oils):
            if oil.parts > 0:
                yield from flash_cautions(oil, f"fragrance.oils.{i}.flash_point", wax.add.aim)
    yield from _usual("add", "Fragrance is added", wax.add.aim, wax.usual_add)
    yield from _usual("pour", "The wax is poured", wax.pour.aim, wax.usual_pour)
    hottest = max(wax.melt.aim, wax.add.aim, wax.pour.aim)
    if hottest > SCORCHING:
        yield Caution(
            "wax.melt",
            Weight.STOP,
            f"{temperature(hottest)} is far hotter than a container candle needs.",
            "Check the temperature and its unit.",
            PRACTICE,
        )
    if candle.load is not None and wax.pour.aim > wax.add.high:
        yield Caution(
            "wax.pour",
            Weight.CAUTION,
            "The pour is hotter than the addition of fragrance,"
            " so the scented wax would be heated again.",
            "Add the fragrance hotter, or pour cooler.",
            PRACTICE,
        )


def flash_cautions(oil: Oil, place: str, add: Kelvin) -> Iterator[Caution]:
    """Compare the addition temperature [K] with an oil's flash point; place: of the oil.

    The levels are our reading of the rule: it binds workplaces, and is a sound
    margin at a kitchen table too.
    """
    if oil.flash_point is None:
        yield Caution(
            place,
            Weight.CAUTION,
            f"The flash point of {oil.name} is unknown.",
            "Take it from section 9 of its safety data sheet, with the method.",
            FLASH_RULE,
        )
        return
    gap = oil.flash_point - add
    if gap <= 0:
        yield Caution(
            place,
            Weight.STOP,
            f"Fragrance is added at {temperature(add)}, at or above the flash point of"
            f" {oil.name}, {temperature(oil.flash_point)}: its vapour can be lit.",
            "Add it cooler, or choose another oil; keep every flame and spark away.",
            FLASH_RULE,
        )
    elif gap <= FLASH_MARGIN:
        yield Caution(
            place,
            Weight.CAUTION,
            f"Fragrance is added at {temperature(add)}, {difference(gap)} below the flash"
            f" point of {oil.name}; within {difference(FLASH_MARGIN)} it is handled as a"
            " more flammable liquid.",
            "No flame or spark nearby, open a window, never heat the oil alone.",
            FLASH_RULE,
        )
    if "open" in oil.flash_method.casefold():
        yield Caution(
            place,
            Weight.NOTE,
            f"The flash point of {oil.name} was taken in an open cup, which reads higher.",
            "Ask the supplier for the closed-cup figure.",
            PRACTICE,
        )


def _usual(key: str, what: str, aim: Kelvin, usual: Window | None) -> Iterator[Caution]:
    if usual is None or usual.low <= aim <= usual.high:
        return
    word = "below" if aim < usual.low else "above"
    yield Caution(
        f"wax.{key}",
        Weight.CAUTION,
        f"{what} at {temperature(aim)}, {word} this wax's own"
        f" {temperature(usual.low)} to {temperature(usual.high)}.",
        "Keep to the wax's own range unless your trials say otherwise.",
        "the wax's own data",
    )

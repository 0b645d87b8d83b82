"""The heat windows of the day, and what the flash point says of them."""

from __future__ import annotations

from rushlight.candle.load import recipe
from rushlight.candle.parts import Candle, Oil
from rushlight.candle.sheet import Windows
from rushlight.quantity.si import KelvinStep

FLASH_MARGIN = KelvinStep(30 / 1.8)
"""30 °F [K]: a liquid heated to within this of its flash point is handled as the next
more flammable category. 29 CFR 1910.106(a)(19)."""


def windows(candle: Candle) -> Windows:
    """Return the windows of a candle.

    lowest_flash is the lowest flash point that is known [K]; flash_gap is given only
    where every oil's flash point is known, so that a gap never hides an unknown oil.
    """
    wax = candle.wax
    oils = poured_oils(candle)
    known = [oil.flash_point for oil in oils if oil.flash_point is not None]
    lowest = min(known) if known else None
    complete = lowest is not None and len(known) == len(oils)
    return Windows(
        melt=wax.melt,
        add=wax.add,
        pour=wax.pour,
        stir=wax.stir,
        cure=wax.cure,
        lowest_flash=lowest,
        flash_gap=KelvinStep(lowest - wax.add.aim) if complete and lowest is not None else None,
    )


def poured_oils(candle: Candle) -> tuple[Oil, ...]:
    """Return the oils that really go into the mix."""
    return tuple(oil for oil, share in recipe(candle).oils if share > 0)

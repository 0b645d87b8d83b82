"""Opening a workshop for one command."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from rushlight.errors import BadInput

if TYPE_CHECKING:
    from rushlight.workshop.candles import CandleLine
    from rushlight.workshop.shop import Workshop


@contextmanager
def opened(place: str | Path) -> Iterator[Workshop]:
    """Open the workshop in a file or at an address, and let go of it afterwards."""
    from rushlight.workshop.opening import open_workshop

    shop = open_workshop(place)
    try:
        yield shop
    finally:
        shop.close()


def slug_of(candles: Sequence[CandleLine], said: str) -> str:
    """Return the slug of the candle called so: by its name or its slug, whatever the case."""
    from difflib import get_close_matches

    wanted = " ".join(said.casefold().split())
    found = [c.slug for c in candles if wanted in (c.slug.casefold(), c.name.casefold())]
    if len(found) == 1:
        return found[0]
    if found:
        raise BadInput.one(
            f"{len(found)} candles are called “{said}”.",
            f"Type one of: {', '.join(found)}.",
            "CANDLE",
        )
    near = get_close_matches(wanted, [c.name.casefold() for c in candles], n=1)
    known = ", ".join(c.name for c in candles[:12]) or "none yet"
    raise BadInput.one(
        f"There is no candle called “{said}” in this workshop.",
        f"Did you mean “{near[0]}”?" if near else f"It has: {known}.",
        "CANDLE",
    )

"""Cautions: what to mind, said in words and never as a seal of approval."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.candle.cautions_heat import heat_cautions
from rushlight.candle.cautions_vessel import finish_cautions, vessel_cautions, wick_cautions
from rushlight.candle.fill import Level
from rushlight.candle.load import recipe
from rushlight.candle.parts import Candle
from rushlight.candle.sheet import Caution, Weight

PRACTICE = "common practice"
_ORDER = (Weight.STOP, Weight.CAUTION, Weight.NOTE)
_SLACK = 1e-9  # a load typed as the stated maximum is not above it


def cautions(candle: Candle, level: Level) -> tuple[Caution, ...]:
    """Return every caution of a candle, the weightiest first."""
    found = [
        *heat_cautions(candle),
        *_load(candle),
        *vessel_cautions(candle, level),
        *wick_cautions(candle, level),
        *finish_cautions(candle),
        *_always(),
    ]
    return tuple(sorted(found, key=lambda caution: _ORDER.index(caution.weight)))


def _load(candle: Candle) -> Iterator[Caution]:
    """Yield a load beyond what the supplier states, or beyond what is usual for the kind."""
    load, wax = recipe(candle).fragrance, candle.wax
    if wax.max_load is not None and load > wax.max_load + _SLACK:
        yield Caution(
            "fragrance.load",
            Weight.CAUTION,
            f"The load is {load:.1%} of the wax; the wax's supplier states at most"
            f" {wax.max_load:.1%}.",
            "Lower the load: oil the wax does not hold seeps out and can flare up.",
            "the supplier's stated maximum",
        )
    elif wax.usual_load is not None and load > wax.usual_load[1] + _SLACK:
        yield Caution(
            "fragrance.load",
            Weight.CAUTION,
            f"The load is {load:.1%} of the wax; {wax.usual_load[0]:.0%} to"
            f" {wax.usual_load[1]:.0%} is usual for {wax.kind or 'this wax'}.",
            "Ask the supplier what this wax holds, and look for oil that seeps out.",
            PRACTICE,
        )


def _always() -> Iterator[Caution]:
    """Yield what holds for every candle."""
    yield Caution(
        "wax",
        Weight.CAUTION,
        "Hot wax burns skin and can catch fire.",
        "Melt it on a thermostat, stay with it, and smother a fire with a lid; no water.",
        PRACTICE,
    )
    yield Caution(
        "wax",
        Weight.NOTE,
        "No refrigerator: cooled fast, a candle gets sinkholes and wet spots.",
        "Let it set at room temperature, out of draughts, with space between the jars.",
        PRACTICE,
    )
    yield Caution(
        "",
        Weight.NOTE,
        "These figures are calculated; no figure replaces a test burn.",
        "Burn a cured jar to the end, four hours at a time, before you sell any.",
        PRACTICE,
    )

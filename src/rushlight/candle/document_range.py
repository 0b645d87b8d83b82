"""Reading ranges: "155-170 F", or a single value to aim for."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from rushlight.candle import limits
from rushlight.candle.document_section import Section
from rushlight.candle.document_table import Layer, as_text
from rushlight.errors import BadInput

_DASH = re.compile(r"(?<=[^\s\-–])\s*(?:[-–]|\bto\b)\s*(?=[^\s\-–])")
_UNIT = re.compile(r"[^\d\s.,]*\s*$")


@dataclass(frozen=True, slots=True)
class Range:
    """Low, aim and high in SI."""

    low: float
    aim: float
    high: float


def spread(here: Section, key: str, *, slack: float = 0.0) -> Range | None:
    """Return the range of a field from all layers, the lowest layer first.

    In each layer a range replaces the range (and keeps the aim that lies within it),
    a single value or `<key>_aim` replaces the aim and widens the range to hold it.
    slack: how far a range reaches on either side of a single value that stands alone.
    """
    known: Range | None = None
    for layer in reversed(here.layers):
        known = _layer(here, layer, key, known, slack)
    return known


def _layer(
    here: Section, layer: Layer, key: str, below: Range | None, slack: float
) -> Range | None:
    known = below
    for name in (key, f"{key}_aim"):
        if name not in layer:
            continue
        try:
            low, high = parse_range(f"{here.field}.{key}", as_text(layer[name].value))
        except BadInput as bad:
            here.problems.extend(bad.at(f"{here.place}.{name}").problems)
            continue
        known = _laid(known, low, high, slack)
    return known


def _laid(below: Range | None, low: float, high: float, slack: float) -> Range:
    if low < high:
        kept = below.aim if below and low <= below.aim <= high else (low + high) / 2
        return Range(low, kept, high)
    if below is None:
        return Range(low - slack, low, low + slack)
    return replace(below, low=min(below.low, low), aim=low, high=max(below.high, low))


def parse_range(field: str, text: str) -> tuple[float, float]:
    """Return low and high of what was typed; equal where it is a single value."""
    parts = _DASH.split(text)
    if len(parts) == 1:
        value = limits.read(field, text)
        return value, value
    if len(parts) > 2:  # noqa: PLR2004  a range has two ends
        raise BadInput.one(f"“{text}” is not a range.", 'Type it as "155-170 F".')
    first, last = parts
    if first[-1].isdigit():
        # "155-170 F": the unit said once holds for both
        first = f"{first} {_unit(last)}"
    low, high = limits.read(field, first), limits.read(field, last)
    if low > high:
        raise BadInput.one(f"“{text}” runs backwards.", "Type the lower value first.")
    return low, high


def _unit(text: str) -> str:
    found = _UNIT.search(text.strip())
    return found.group() if found else ""

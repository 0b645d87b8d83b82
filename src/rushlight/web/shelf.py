"""The shelf: every candle's outline, drawn once for each revision."""

from __future__ import annotations

from collections.abc import MutableMapping
from dataclasses import dataclass

from markupsafe import Markup

from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput
from rushlight.web.drawing.outline import outline
from rushlight.web.say import Say
from rushlight.workshop import Workshop, candles, settings
from rushlight.workshop.candles import CandleLine

Outlines = MutableMapping[tuple[str, int, str], tuple[Markup, str]]


@dataclass(frozen=True, slots=True)
class Standing:
    """A candle on the shelf: its line, its outline, and its mass and load in words."""

    line: CandleLine
    drawn: Markup
    words: str


def _load(jar: JarSheet, say: Say) -> str:
    return f"{say.percent(jar.load_of_wax)} of wax" if jar.fragrance_mass else "unscented"


def _drawn(shop: Workshop, line: CandleLine, say: Say) -> tuple[Markup, str]:
    try:
        jar = candles.sheet(shop, candles.get(shop, line.slug).document).jar
    except BadInput:  # a material it rests on has changed under it
        return Markup(""), "needs mending"
    return outline(jar), f"{say.mass(jar.fill_mass)}, {_load(jar, say)}"


def standing(shop: Workshop, outlines: Outlines) -> list[Standing]:
    """Return the candles in order; outlines already drawn are reused."""
    say = Say(settings.current(shop))
    shown = []
    for line in candles.listing(shop):
        key = (line.slug, line.revision, repr(say.pref))
        if key not in outlines:
            outlines[key] = _drawn(shop, line, say)
        shown.append(Standing(line, *outlines[key]))
    return shown

"""What the parts list says of each part, in a line."""

from __future__ import annotations

from rushlight.candle.sheet import JarSheet
from rushlight.web.say import Say


def _fragrance(jar: JarSheet, say: Say) -> str:
    if not jar.candle.oils or not jar.fragrance_mass:
        return "none"
    oils = " and ".join(oil.name for oil in jar.candle.oils)
    of_wax, of_total = say.percent(jar.load_of_wax), say.percent(jar.load_of_total)
    return f"{oils}, {of_wax} of wax ({of_total} of total)"


def summaries(jar: JarSheet, say: Say) -> dict[str, str]:
    """Return a line for every item of the drawing."""
    candle = jar.candle
    wicks = f"{candle.wick.count} × " if candle.wick.count > 1 else ""
    colour = [d.name for d in candle.dyes] + [
        f"{a.name} {say.percent(a.of_wax)}" for a in candle.additives
    ]
    return {
        "vessel": f"{candle.vessel.name}, {say.volume(jar.brim_volume)} to the brim",
        "fill": f"{say.volume(jar.fill_volume)}, headspace {say.length(jar.headspace)}",
        "wax": f"{candle.wax.name}, {say.mass(jar.wax_mass)}",
        "fragrance": _fragrance(jar, say),
        "wick": f"{wicks}{candle.wick.name}, cut {say.length(jar.wick_cut)}",
        "colour": ", ".join(colour) or "none",
        "finish": ", ".join(f.name for f in candle.finishes) or "none",
    }

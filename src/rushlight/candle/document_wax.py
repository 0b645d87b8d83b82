"""Reading the wax of a candle document."""

from __future__ import annotations

from typing import Any

from rushlight.candle.document_range import Range, parse_range, spread
from rushlight.candle.document_section import Section, or_else, section
from rushlight.candle.facts import Shelf
from rushlight.candle.parts import Span, Thermal, Wax, Window
from rushlight.errors import BadInput, Problems
from rushlight.quantity.si import Density, Fraction1, Kelvin, Second

WINDOWS = ("melt", "add", "pour")
SPANS = ("stir", "cure")
FIGURES = (
    "density_hot",
    "density_hot_at",
    "expansion",
    "density_set",
    "max_load",
    "usual_load",
    "heat_capacity",
    "heat_capacity_set",
    "conductivity",
    "conductivity_set",
    "melting_heat",
    "melts_at",
    "solidus",
    "liquidus",
    "viscosity",
    "viscosity_at",
)
_AIMS = tuple(f"{key}_aim" for key in (*WINDOWS, *SPANS))
KEYS = ("use", "kind", "name", *FIGURES, *WINDOWS, *SPANS, *_AIMS)

ZERO = 273.15  # 0 °C [K], definition of the Celsius scale
TOLERANCE = 3.0
"""A lone temperature is held to within this on either side [K] (common practice: a
kitchen thermometer and a stirred pitcher agree to about 5 °F)."""


def read_wax(raw: Any, shelf: Shelf, problems: Problems) -> Wax | None:
    """Return the wax; None where a problem was noted that leaves none."""
    before = len(problems.found)
    here = section(raw, place="wax", field="wax", role="wax", shelf=shelf, problems=problems)
    here.only(KEYS)
    if len(problems.found) == before and len(here.layers) == 1 and "density_hot" not in here:
        here.note("use", "No wax is chosen.", 'Type, for example, use = "soy container".')
        return None
    if len(problems.found) > before and len(here.layers) == 1:
        return None  # the wax named is unknown: its facts need not be missed one by one
    hot = here.needed("density_hot", "The wax's density when liquid")
    cold = here.needed("density_set", "The wax's density when set")
    hot_at = here.needed("density_hot_at", "The temperature of the liquid's density")
    melt, add, pour = (_window(here, key) for key in WINDOWS)
    stir, cure = (_span(here, key) for key in SPANS)
    expansion, heat_capacity = here.number("expansion"), here.number("heat_capacity")
    melting_heat, melts_at = here.number("melting_heat"), here.number("melts_at")
    max_load = here.number("max_load")
    usual = _usual_load(here)
    thermal = _thermal(here)
    if len(problems.found) > before:
        return None
    # Where nothing is said: figures amid those of the kinds (their range is in kinds.toml).
    below = Section("wax", "wax", here.layers[1:], problems)
    return Wax(
        name=here.name or "wax",
        kind=here.text("kind") or here.text("use"),
        density_hot=Density(hot),
        density_hot_at=Kelvin(hot_at),
        expansion=or_else(expansion, 7.5e-4),
        density_set=Density(cold),
        melt=melt,
        add=add,
        pour=pour,
        stir=stir,
        cure=cure,
        max_load=None if max_load is None else Fraction1(max_load),
        usual_load=usual,
        usual_add=_usual(below, "add"),
        usual_pour=_usual(below, "pour"),
        heat_capacity=or_else(heat_capacity, 2200.0),
        melting_heat=or_else(melting_heat, 150_000.0),
        melts_at=Kelvin(or_else(melts_at, 325.15)),
        thermal=thermal,
    )


def check_melting(here: Section, problems: Problems) -> None:
    """Note a melting range that runs backwards; what cannot be read is noted elsewhere."""
    quiet = Section(here.place, here.field, here.layers, Problems())
    solidus, liquidus = _moved(quiet, "solidus"), _moved(quiet, "liquidus")
    if solidus is None or liquidus is None or solidus <= liquidus or quiet.problems.found:
        return
    top = min(("solidus", "liquidus"), key=lambda key: _depth(here, key))
    problems.add(
        here.at(top),
        f"The solidus, {solidus - ZERO:.1f} °C, is above the liquidus, {liquidus - ZERO:.1f} °C.",
        "Type both, the lower one as the solidus: nothing is liquid below it.",
    )


def _thermal(here: Section) -> Thermal:
    viscosity_at = here.number("viscosity_at")
    found = Thermal(
        heat_set=here.number("heat_capacity_set"),
        conductivity=here.number("conductivity"),
        conductivity_set=here.number("conductivity_set"),
        solidus=_moved(here, "solidus"),
        liquidus=_moved(here, "liquidus"),
        viscosity=here.number("viscosity"),
        viscosity_at=None if viscosity_at is None else Kelvin(viscosity_at),
    )
    check_melting(here, here.problems)
    return found


def _moved(here: Section, key: str) -> Kelvin | None:
    """Return an end of the melting range [K].

    It was said of a wax with the melting point of its own layer, or one below; a melting
    point said above it (this lot melts at 50 °C, not the usual 52) takes it along.
    """
    end = here.number(key)
    if end is None:
        return None
    quiet = Problems()
    below = Section(here.place, here.field, here.layers[_depth(here, key) :], quiet)
    then = below.number("melts_at")
    now = Section(here.place, here.field, here.layers, quiet).number("melts_at")
    return Kelvin(end if now is None or then is None else end + (now - then))


def _depth(here: Section, key: str) -> int:
    """Return the uppermost layer that says something of a key."""
    return next(n for n, layer in enumerate(here.layers) if key in layer)


def _usual_load(here: Section) -> tuple[Fraction1, Fraction1] | None:
    typed = here.text("usual_load")
    if not typed:
        return None
    try:
        low, high = parse_range("wax.usual_load", typed)
    except BadInput as bad:
        here.problems.extend(bad.at("wax.usual_load").problems)
        return None
    return Fraction1(low), Fraction1(high)


def _window(here: Section, key: str) -> Window:
    found = spread(here, key, slack=TOLERANCE) or _missed(here, key, "163 F")
    return Window(Kelvin(found.low), Kelvin(found.aim), Kelvin(found.high))


def _usual(below: Section, key: str) -> Window | None:
    found = spread(below, key, slack=TOLERANCE)
    if found is None:
        return None
    return Window(Kelvin(found.low), Kelvin(found.aim), Kelvin(found.high))


def _span(here: Section, key: str) -> Span:
    found = spread(here, key) or _missed(here, key, "2 min" if key == "stir" else "7 d")
    return Span(Second(found.low), Second(found.aim), Second(found.high))


_WORDS = {
    "melt": "The melting temperature",
    "add": "The temperature for adding fragrance",
    "pour": "The pour temperature",
    "stir": "The stirring time",
    "cure": "The cure time",
}


def _missed(here: Section, key: str, example: str) -> Range:
    if key not in here and f"{key}_aim" not in here:
        here.note(
            key,
            f"{_WORDS[key]} is missing.",
            f'Type it, such as "{example}", or name a kind: kind = "soy container".',
        )
    return Range(1.0, 1.0, 1.0)  # a stand-in: the problem is noted, so it goes no further

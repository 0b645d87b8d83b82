"""What each field may hold: its quantity, its sane bounds and an example.

The bounds refuse the absurd (a 900 % load, a 4 m jar), not the unusual; they are our
own judgement. Cautions, elsewhere, speak of the unusual.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache

from rushlight.errors import BadInput
from rushlight.quantity import parse


@dataclass(frozen=True, slots=True)
class Limit:
    """A field's quantity, lowest and highest value (as a maker would type them), example.

    unit: of a plain number, which may be typed after it or left out; SI but for burn rates.
    """

    quantity: str
    low: str
    high: str
    example: str
    unit: str = ""


_TEMPERATURE = Limit("temperature", "0 C", "200 C", "163 F")
_DEPTH = Limit("length", "5 mm", "500 mm", "90 mm")
_WIDTH = Limit("length", "10 mm", "500 mm", "75 mm")
_DENSITY = Limit("density", "500 kg/m3", "1500 kg/m3", "0.875 g/ml")
_CP = Limit("number", "500", "6000", "2200", "J/(kg K)")
_K = Limit("number", "0.02", "5", "0.16", "W/(m K)")
_PER = Limit("mass", "1 g", "100 kg", "1 kg")
_PIECE = Limit("mass", "0.1 mg", "1 kg", "0.03 g")
_COUNT = Limit("number", "0.01", "10000", "6")

LIMITS: dict[str, Limit] = {
    "vessel.brim": Limit("volume", "5 ml", "10 l", "8 fl oz"),
    "vessel.water": Limit("mass", "5 g", "10 kg", "236 g"),
    "vessel.water_at": Limit("temperature", "0 C", "100 C", "20 C"),
    "vessel.height": _DEPTH,
    "vessel.diameter": _WIDTH,
    "vessel.base_diameter": _WIDTH,
    "vessel.neck_diameter": _WIDTH,
    "vessel.shoulder_height": _DEPTH,
    "vessel.breadth": _WIDTH,
    "vessel.corner": Limit("length", "0 mm", "100 mm", "8 mm"),
    "vessel.profile.height": Limit("length", "0 mm", "500 mm", "85 mm"),
    "vessel.profile.diameter": Limit("length", "1 mm", "500 mm", "74 mm"),
    "vessel.wall": Limit("length", "0.05 mm", "50 mm", "3 mm"),
    "vessel.base": Limit("length", "0.05 mm", "80 mm", "6 mm"),
    "fill.headspace": Limit("length", "0 mm", "450 mm", "12 mm"),
    "fill.line": Limit("length", "1 mm", "500 mm", "75 mm"),
    "fill.percent": Limit("fraction", "1 %", "100 %", "85 %"),
    "fill.net": Limit("mass", "1 g", "10 kg", "180 g"),
    "wax.density_hot": _DENSITY,
    "wax.density_set": _DENSITY,
    "wax.density_hot_at": _TEMPERATURE,
    "wax.expansion": Limit("number", "0", "0.005", "0.00075", "1/K"),
    "wax.melt": _TEMPERATURE,
    "wax.add": _TEMPERATURE,
    "wax.pour": _TEMPERATURE,
    "wax.stir": Limit("duration", "1 s", "1 h", "2 min"),
    "wax.cure": Limit("duration", "0 s", "365 d", "7 d"),
    "wax.max_load": Limit("fraction", "0 %", "50 %", "10 %"),
    "wax.usual_load": Limit("fraction", "0 %", "50 %", "10 %"),
    "wax.heat_capacity": _CP,
    "wax.heat_capacity_set": _CP,
    "wax.conductivity": _K,
    "wax.conductivity_set": _K,
    "wax.melting_heat": Limit("number", "10000", "400000", "150000", "J/kg"),
    "wax.melts_at": _TEMPERATURE,
    "wax.solidus": Limit("temperature", "-20 C", "120 C", "46 C"),
    "wax.liquidus": Limit("temperature", "-20 C", "120 C", "52 C"),
    "wax.viscosity": Limit("number", "0.0001", "10", "0.013", "Pa s"),
    "wax.viscosity_at": _TEMPERATURE,
    "fragrance.load": Limit("fraction", "0 %", "30 %", "8 %"),
    "fragrance.oils.parts": Limit("number", "0", "1000000", "2"),
    "fragrance.oils.density": Limit("density", "600 kg/m3", "1500 kg/m3", "0.95 g/ml"),
    "fragrance.oils.flash_point": Limit("temperature", "-30 C", "300 C", "93 C"),
    "dyes.amount": Limit("mass", "0.1 mg", "1 kg", "0.5 g"),
    "dyes.percent": Limit("fraction", "0 %", "5 %", "0.05 %"),
    "dyes.per": _PER,
    "dyes.drops": _COUNT,
    "dyes.drop_mass": _PIECE,
    "dyes.blocks": _COUNT,
    "dyes.block_mass": _PIECE,
    "additives.percent": Limit("fraction", "0 %", "30 %", "1 %"),
    "wick.count": Limit("count", "1", "50", "1"),
    "wick.trim": Limit("length", "1 mm", "50 mm", "1/4 in"),
    "wick.suits": Limit("length", "10 mm", "500 mm", "70 mm"),
    "wick.burn_rate": Limit("burn rate", "0.5", "15", "4.5", "g/h"),
    "wick.allowance": Limit("length", "0 mm", "500 mm", "20 mm"),
    "finishes.amount": Limit("mass", "1 mg", "5 kg", "4 g"),
    "finishes.pieces": Limit("count", "0", "10000", "1"),
    "finishes.rim_gap": Limit("length", "0 mm", "500 mm", "15 mm"),
    "batch.jars": Limit("count", "1", "10000", "12"),
    "batch.spares": Limit("count", "0", "1000", "1"),
    "batch.residue": Limit("mass", "0 g", "5 kg", "15 g"),
    "batch.spill": Limit("fraction", "0 %", "50 %", "1 %"),
    "batch.capacity": Limit("mass", "50 g", "1000 kg", "2 kg"),
    "batch.readability": Limit("mass", "0.1 mg", "1 kg", "1 g"),
}
"""By place, list positions left out: ``fragrance.oils.parts``."""

_PARSERS: dict[str, Callable[[str], float]] = {
    "mass": parse.mass,
    "volume": parse.volume,
    "length": parse.length,
    "temperature": parse.temperature,
    "fraction": parse.fraction,
    "duration": parse.duration,
    "density": parse.density,
    "number": lambda text: float(parse.number(text)),
    "count": parse.count,
    "burn rate": lambda text: float(parse.number(text)) / 3.6e6,  # typed in g/h
}


@lru_cache(maxsize=4096)  # a sheet recomputed at every keystroke reads the same texts again
def read(field: str, text: str) -> float:
    """Return what a maker typed for a field, in SI.

    field: a key of `LIMITS`. Raises BadInput (place empty) where it is no such
    quantity, or outside the bounds.
    """
    limit = LIMITS[field]
    value = _parse(limit, text)
    low, high = _bounds(field)
    if not low <= value <= high:
        word = "less" if value < low else "more"
        raise BadInput.one(
            f"“{text}” is {word} than makes sense here.",
            f"Type between {_said(limit.low, limit)} and {_said(limit.high, limit)},"
            f' such as "{_said(limit.example, limit)}".',
        )
    return value


def example(field: str) -> float:
    """Return the example value of a field, in SI."""
    return _parse(LIMITS[field], LIMITS[field].example)


@cache
def _bounds(field: str) -> tuple[float, float]:
    limit = LIMITS[field]
    return _parse(limit, limit.low), _parse(limit, limit.high)


def _parse(limit: Limit, text: str) -> float:
    bare = text.strip().removesuffix(limit.unit) if limit.unit else text
    try:
        return _PARSERS[limit.quantity](bare)
    except BadInput as problem:
        if not limit.unit:
            raise
        raise BadInput.one(
            f"“{text}” is not a number of {limit.unit}.", f'Type, for example, "{limit.example}".'
        ) from problem


def _said(text: str, limit: Limit) -> str:
    return f"{text} {limit.unit}".rstrip()

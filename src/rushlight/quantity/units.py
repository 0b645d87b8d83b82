"""The units makers type, each with its exact factor to SI and where that comes from.

Factors are `Fraction`, so that a conversion is rounded once, to the nearest
float, and not once per step. Spellings are matched without regard to case,
full stops and extra spaces: ``mL``, ``Fl. Oz.`` and ``LBS`` are all read
(so ``MG`` is milligrams: nobody types a megagram of wax).

``oz`` is always the avoirdupois ounce of mass. ``fl oz``, ``pint`` and
``gallon`` are the US ones unless ``imp`` (or ``uk``) stands before them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache

HB44 = "NIST Handbook 44, Appendix C (exact)"
SI = "SI Brochure, 9th edition (exact)"
UK = "Weights and Measures Act 1985 (UK), Schedule 1 (exact; from memory)"
DAY = "SI Brochure, 9th edition, Table 8 (exact)"
WEEK = "seven days"


class Kind(StrEnum):
    """What a unit measures, in the word used in messages."""

    MASS = "mass"
    VOLUME = "volume"
    LENGTH = "length"
    TEMPERATURE = "temperature"
    DURATION = "duration"
    POWER = "power"
    FRACTION = "percentage"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: SI value = (number + offset) x factor.

    family: units of one family may be typed one after the other ("1 lb 4 oz").
    """

    name: str
    kind: Kind
    factor: Fraction
    source: str
    spellings: tuple[str, ...]
    family: str = ""
    offset: Fraction = Fraction(0)


def _unit(  # noqa: PLR0913, PLR0917 - one row of a table
    name: str, kind: Kind, factor: str | Fraction, source: str, also: str = "", family: str = ""
) -> Unit:
    """Return one row; `also` lists further spellings, separated by commas."""
    spellings = (name, *(word.strip() for word in also.split(",") if word))
    return Unit(name, kind, Fraction(factor), source, spellings, family)


_GALLON = Fraction("0.003785411784")  # 231 cubic inches
_IMPERIAL_GALLON = Fraction("0.00454609")
_M, _V, _L, _T, _D, _P = (
    Kind.MASS,
    Kind.VOLUME,
    Kind.LENGTH,
    Kind.TEMPERATURE,
    Kind.DURATION,
    Kind.POWER,
)
_FL_OZ = "floz, fluid oz, fluid ounce, fluid ounces, fl ounce, fl ounces"


def _said(words: str, before: str) -> str:
    """Return the spellings with each of the words of `before` put in front."""
    return ",".join(
        f"{said} {word.strip()}" for said in before.split() for word in words.split(",")
    )


_IMP = "imp imperial uk british"
TABLE: tuple[Unit, ...] = (
    _unit("mg", _M, "1e-6", SI, "milligram,milligrams,milligramme,milligrammes", "metric"),
    _unit("g", _M, "1e-3", SI, "gm,gms,gram,grams,gramme,grammes", "metric"),
    _unit("kg", _M, "1", SI, "kgs,kilo,kilos,kilogram,kilograms,kilogramme,kilogrammes", "metric"),
    _unit("oz", _M, "0.028349523125", HB44, "ounce,ounces,ozs,oz wt,oz av,oz avdp", "avoirdupois"),
    _unit("lb", _M, "0.45359237", HB44, "lbs,pound,pounds", "avoirdupois"),
    _unit("ml", _V, "1e-6", SI, "cc,cm³,millilitre,millilitres,milliliter,milliliters", "metric"),
    _unit("cl", _V, "1e-5", SI, "centilitre,centilitres,centiliter,centiliters", "metric"),
    _unit("l", _V, "1e-3", SI, "dm³,litre,litres,liter,liters,ltr", "metric"),
    _unit("m³", _V, "1", SI, "cubic metre,cubic metres,cubic meter,cubic meters", "metric"),
    _unit("fl oz", _V, _GALLON / 128, HB44, f"{_FL_OZ},{_said('fl oz,' + _FL_OZ, 'us')}", "us"),
    _unit("tsp", _V, _GALLON / 768, HB44, "teaspoon,teaspoons,us tsp", "us"),
    _unit("tbsp", _V, _GALLON / 256, HB44, "tablespoon,tablespoons,us tbsp", "us"),
    _unit("cup", _V, _GALLON / 16, HB44, "cups,us cup,us cups", "us"),
    _unit("pint", _V, _GALLON / 8, HB44, "pt,pints,us pt,us pint,us pints", "us"),
    _unit("quart", _V, _GALLON / 4, HB44, "qt,quarts,us qt,us quart,us quarts", "us"),
    _unit("gallon", _V, _GALLON, HB44, "gal,gallons,us gal,us gallon,us gallons", "us"),
    _unit("imp fl oz", _V, _IMPERIAL_GALLON / 160, UK, _said("fl oz," + _FL_OZ, _IMP), "imperial"),
    _unit("imp pint", _V, _IMPERIAL_GALLON / 8, UK, _said("pt,pint,pints", _IMP), "imperial"),
    _unit("imp gallon", _V, _IMPERIAL_GALLON, UK, _said("gal,gallon,gallons", _IMP), "imperial"),
    _unit("mm", _L, "1e-3", SI, "millimetre,millimetres,millimeter,millimeters", "metric"),
    _unit("cm", _L, "1e-2", SI, "centimetre,centimetres,centimeter,centimeters", "metric"),
    _unit("m", _L, "1", SI, "metre,metres,meter,meters", "metric"),
    _unit("in", _L, "0.0254", HB44, "inch,inches,\",″,”,'',′′", "foot"),
    _unit("ft", _L, "0.3048", HB44, "foot,feet,',′,’", "foot"),
    _unit("s", _D, "1", SI, "sec,secs,second,seconds", "time"),
    _unit("min", _D, "60", DAY, "m,mins,minute,minutes", "time"),
    _unit("h", _D, "3600", DAY, "hr,hrs,hour,hours", "time"),
    _unit("d", _D, "86400", DAY, "day,days", "time"),
    _unit("week", _D, "604800", WEEK, "w,wk,wks,weeks", "time"),
    _unit("W", _P, "1", SI, "watt,watts"),
    _unit("kW", _P, "1000", SI, "kilowatt,kilowatts"),
    _unit("%", Kind.FRACTION, "1/100", "one hundredth", "percent,per cent,pct,pc"),
    # The kelvin, and the scales set by it: t/°C = T/K - 273.15 (SI Brochure, 9th
    # edition, 2.3.1); t/°F = 9/5 t/°C + 32 (NIST SP 811, B.8).
    _unit("K", _T, "1", SI, "°k,kelvin,kelvins"),
    Unit("°C", _T, Fraction(1), SI, (), offset=Fraction("273.15")),
    Unit("°F", _T, Fraction(5, 9), "NIST SP 811, B.8 (exact)", (), offset=Fraction("459.67")),
)

_DEGREES = {
    "°C": "°c,c,c°,℃,deg c,degree c,degrees c,celsius,degree celsius,degrees celsius,"
    "°celsius,centigrade,degrees centigrade",
    "°F": "°f,f,f°,℉,deg f,degree f,degrees f,fahrenheit,degree fahrenheit,degrees fahrenheit,"
    "°fahrenheit",
}


def tidy(word: str) -> str:
    """Return a unit's spelling as it is looked up: no case, full stops or extra spaces."""
    word = word.replace(".", " ").replace("º", "°").replace("˚", "°")
    return " ".join(word.casefold().split()).replace("° ", "°")


@cache
def _spelled() -> dict[str, tuple[Unit, ...]]:
    """Return every unit under every spelling; "m" is both a metre and a minute."""
    found: dict[str, tuple[Unit, ...]] = {}
    for unit in TABLE:
        spellings = unit.spellings or _DEGREES[unit.name].split(",")
        for word in dict.fromkeys(tidy(spelling) for spelling in spellings):
            found[word] = (*found.get(word, ()), unit)
    return found


def find(word: str, kind: Kind) -> Unit | None:
    """Return the unit of this kind that is spelled so, if there is one."""
    return next((unit for unit in meanings(word) if unit.kind is kind), None)


def meanings(word: str) -> tuple[Unit, ...]:
    """Return every unit that is spelled so."""
    return _spelled().get(tidy(word), ())


def named(name: str) -> Unit:
    """Return the unit whose own name this is, such as ``"fl oz"``."""
    return next(unit for unit in TABLE if unit.name == name)

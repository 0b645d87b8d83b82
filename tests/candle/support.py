"""Candles for the tests: one soy candle as typed, and drawn candles as data."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from hypothesis import strategies as st

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.parts import (
    Additive,
    Candle,
    Dye,
    Fill,
    FillBy,
    FillState,
    Load,
    LoadBasis,
    Oil,
    Wax,
    Wick,
)
from rushlight.candle.profile import Profile, Station
from rushlight.candle.vessel import Make, vessel
from rushlight.quantity.si import CubicMetre, Density, Fraction1, Kelvin, Metre

SLIPWAY = """
rushlight = 1
name = "Slipway"
note = "Early summer; the first of the line."
[vessel]
use = "straight tumbler"
brim = "10 fl oz"
height = "90 mm"
diameter = "65 mm"
[fill]
headspace = "12 mm"
state = "as poured"
[wax]
use = "soy container"
pour = "163 F"
[fragrance]
load = "8 %"
basis = "of wax"
[[fragrance.oils]]
name = "Tide"
parts = "2"
flash_point = "93 C"
density = "0.95 g/ml"
[[fragrance.oils]]
name = "Cedar"
parts = "1"
flash_point = "110 C"
[[dyes]]
use = "liquid dye"
drops = "6"
[[additives]]
use = "UV inhibitor"
[wick]
use = "cotton flat"
[[finishes]]
use = "mineral flakes"
rim_gap = "30 mm"
[batch]
jars = "12"
spares = "1"
residue = "15 g"
spill = "1 %"
capacity = "2 kg"
readability = "1 g"
"""


def typed(**changes: Any) -> dict[str, Any]:
    """Return the Slipway document with some of its tables replaced."""
    return {**tomllib.loads(SLIPWAY), **changes}


def slipway(**changes: Any) -> Candle:
    """Return the Slipway candle, read."""
    return read(typed(**changes), built_in())


@cache
def soy() -> Wax:
    """Return the built-in soy container wax."""
    return slipway(wax={"use": "soy container"}).wax


def floats(low: float, high: float) -> st.SearchStrategy[float]:
    """Draw a finite float of a range."""
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    """Draw a profile of one to five frustums, from a thimble to a bucket."""
    height = 0.0
    stations = [Station(Metre(0.0), Metre(draw(floats(0.01, 0.3))))]
    for _ in range(draw(st.integers(1, 5))):
        height += draw(floats(0.005, 0.1))
        stations.append(Station(Metre(height), Metre(draw(floats(0.01, 0.3)))))
    return Profile(tuple(stations))


@st.composite
def mixes(draw: st.DrawFn) -> dict[str, Any]:
    """Draw load, oils, dyes and additives."""
    oils = st.builds(
        Oil,
        name=st.sampled_from(["Tide", "Cedar", "Rope"]),
        parts=floats(0.1, 10),
        density=floats(850, 1050).map(Density),
        flash_point=st.none() | floats(320, 420).map(Kelvin),
    )
    dyes = st.builds(Dye, name=st.just("blue"), per_wax=floats(0, 0.01).map(Fraction1))
    additives = st.builds(Additive, name=st.just("hardener"), of_wax=floats(0, 0.05).map(Fraction1))
    load = st.builds(
        Load, amount=floats(0, 0.2).map(Fraction1), basis=st.sampled_from(list(LoadBasis))
    )
    return {
        "load": draw(st.none() | load),
        "oils": tuple(draw(st.lists(oils, min_size=1, max_size=4))),
        "dyes": tuple(draw(st.lists(dyes, max_size=2))),
        "additives": tuple(draw(st.lists(additives, max_size=2))),
    }


@st.composite
def candles(draw: st.DrawFn) -> Candle:
    """Draw a candle whose fill fits its vessel, hot and set."""
    profile = draw(profiles())
    stated = draw(st.none() | floats(0.8, 1.2))
    volume = None if stated is None else CubicMetre(profile.brim_volume * stated)
    percent = st.builds(
        Fill,
        by=st.just(FillBy.PERCENT),
        amount=floats(0.05, 0.85),
        state=st.sampled_from(list(FillState)),
    )
    head = st.builds(Fill, by=st.just(FillBy.HEADSPACE), amount=floats(0.0, profile.depth * 0.9))
    return Candle(
        name="drawn",
        vessel=vessel(Make(name="jar"), profile=profile, stated=volume),
        fill=draw(percent | head),
        wax=soy(),
        wick=Wick(name="cotton flat", kind="cotton flat"),
        **draw(mixes()),
    )

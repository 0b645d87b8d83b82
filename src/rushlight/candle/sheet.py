"""Results: what to weigh for one jar and for a batch, every intermediate kept."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rushlight.candle.parts import Candle, FillState, Span, Window
from rushlight.quantity.si import (
    CubicMetre,
    Density,
    Fraction1,
    Kelvin,
    KelvinStep,
    Kilogram,
    Metre,
)


class Role(StrEnum):
    """What a material is there for."""

    WAX = "wax"
    FRAGRANCE = "fragrance oil"
    DYE = "dye"
    ADDITIVE = "additive"
    FINISH = "finish"
    VESSEL = "vessel"
    WICK = "wick"


class Weight(StrEnum):
    """How much a caution weighs."""

    NOTE = "note"
    CAUTION = "caution"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: where on the candle (dotted place), what, what to do, and the source."""

    place: str
    weight: Weight
    what: str
    remedy: str
    source: str


@dataclass(frozen=True, slots=True)
class Line:
    """One weighed material of one jar.

    mass [kg] per jar; of_total is its share of everything poured [1].
    """

    role: Role
    name: str
    mass: Kilogram
    of_total: Fraction1


@dataclass(frozen=True, slots=True, kw_only=True)
class Windows:
    """The heat windows of the day and what the flash point says of them.

    flash_gap: lowest flash point of the blend minus the addition aim [K]; None when
    there is no oil or a flash point is unknown.
    """

    melt: Window
    add: Window
    pour: Window
    stir: Span
    cure: Span
    lowest_flash: Kelvin | None
    flash_gap: KelvinStep | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JarSheet:
    """What one jar takes.

    Volumes [m³] and heights above the inner base [m]: *fill_* as poured, *set_* when
    set and cold. density_used [kg/m³] is that of the mix in the state the fill refers to.
    fill_mass [kg] is everything poured: the net weight.
    """

    candle: Candle
    brim_volume: CubicMetre
    fill_volume: CubicMetre
    fill_height: Metre
    headspace: Metre
    fill_fraction: Fraction1
    density_hot: Density
    density_set: Density
    density_state: FillState
    density_used: Density
    pour_at: Kelvin
    fill_mass: Kilogram
    wax_mass: Kilogram
    fragrance_mass: Kilogram
    load_of_wax: Fraction1
    load_of_total: Fraction1
    set_volume: CubicMetre
    set_height: Metre
    set_headspace: Metre
    lines: tuple[Line, ...]
    wick_length: Metre  # from inner base to trimmed tip
    wick_cut: Metre  # what to cut, allowance included
    finishes: tuple[Line, ...]
    windows: Windows
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """How many jars and with what allowances.

    residue [kg] stays in each pot; spill [1] of the mix is lost; capacity [kg] of the
    melter or pitcher (None: no limit); readability [kg] of the scale.
    """

    jars: int
    spares: int = 0
    residue: Kilogram = Kilogram(0.0)
    spill: Fraction1 = Fraction1(0.0)
    capacity: Kilogram | None = None
    readability: Kilogram = Kilogram(0.001)


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One weighed material of a batch [kg].

    exact: before rounding, whole batch. pot: shown for one pot, a multiple of the
    readability. total = pot x pots, so the shown parts add up to the shown total.
    """

    role: Role
    name: str
    exact: Kilogram
    pot: Kilogram
    total: Kilogram
    counted: str = ""  # "24 drops" where the maker counts it, per pot


@dataclass(frozen=True, slots=True)
class PieceLine:
    """Something counted: vessels, wicks, finish pieces, for the whole batch."""

    role: Role
    name: str
    pieces: int
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSheet:
    """What a batch takes: equal pots, materials by weight and by piece."""

    jar: JarSheet
    batch: Batch
    jars_poured: int
    pots: int
    jars_mass: Kilogram  # what ends up in jars, exact
    residue_mass: Kilogram
    spill_mass: Kilogram
    lines: tuple[BatchLine, ...]
    pot_mass: Kilogram  # shown total of one pot
    total_mass: Kilogram  # shown total of the batch
    outside: tuple[BatchLine, ...]  # finishes by weight, not in the pot
    pieces: tuple[PieceLine, ...]
    cautions: tuple[Caution, ...] = ()  # of the batch alone; the candle's are in jar.cautions

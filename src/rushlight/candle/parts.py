"""The parts of a candle: vessel, wax, oils, dye, additives, wick, finish."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from rushlight.candle.plan import ROUND, Plan
from rushlight.candle.profile import Profile
from rushlight.quantity.si import (
    CubicMetre,
    Density,
    Fraction1,
    Kelvin,
    Kilogram,
    Metre,
    Second,
)


class VolumeFrom(StrEnum):
    """How the brim volume is known."""

    STATED = "stated"
    WATER = "water weighed to the brim"
    PROFILE = "measured profile"


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """A vessel, inside and out.

    brim_volume [m³] is the figure used for amounts; where it was stated or
    weighed it overrules the profile, whose volumes are scaled to it.
    shape_known is False when only a volume was given: the drawing is then
    of a plain straight jar, and heights are not to be trusted.
    """

    name: str
    profile: Profile
    brim_volume: CubicMetre
    volume_from: VolumeFrom
    shape_known: bool
    wall: Metre
    base: Metre
    material: str  # "glass", "tin", "ceramic", "concrete" …
    combustible: bool = False
    annealed: bool | None = None  # of glass; None where nobody says
    plan: Plan = ROUND

    def volume_below(self, height: Metre) -> CubicMetre:
        """Volume [m³] below a height above the inner base [m]."""
        scale = self.brim_volume / self.profile.brim_volume
        return CubicMetre(self.profile.volume_below(height) * scale)

    def height_at(self, volume: CubicMetre) -> Metre:
        """Height [m] to which a volume [m³] fills the vessel."""
        brim = self.profile.brim_volume
        # min: the two factors may put a brim-full vessel one rounding error over the brim
        return self.profile.height_at(CubicMetre(min(volume / self.brim_volume * brim, brim)))


class FillBy(StrEnum):
    """How the maker says how full."""

    HEADSPACE = "headspace"
    LINE = "line"
    PERCENT = "percent"
    NET = "net"


class FillState(StrEnum):
    """Whether the fill level is that of the hot pour or of the set candle."""

    HOT = "as poured"
    SET = "when set"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """How full: `amount` is m below the rim, m above the base, 1 of brim volume, or kg net."""

    by: FillBy
    amount: float
    state: FillState = FillState.HOT


@dataclass(frozen=True, slots=True)
class Window:
    """A range of temperatures with the one to aim for [K]."""

    low: Kelvin
    aim: Kelvin
    high: Kelvin


@dataclass(frozen=True, slots=True)
class Span:
    """A range of times with the one to aim for [s]."""

    low: Second
    aim: Second
    high: Second


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermal:
    """What is said of a wax for the heat models; None where nobody says.

    heat_set [J/(kg K)] when set; conductivity [W/(m K)] liquid, conductivity_set when
    set; solidus, liquidus [K]: below and above these nothing, and all of it, is liquid;
    viscosity [Pa s] at viscosity_at [K].
    """

    heat_set: float | None = None
    conductivity: float | None = None
    conductivity_set: float | None = None
    solidus: Kelvin | None = None
    liquidus: Kelvin | None = None
    viscosity: float | None = None
    viscosity_at: Kelvin | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Wax:
    """A wax: what the sheet, a measurement or the kind says of it.

    density_hot [kg/m³] holds at density_hot_at [K]; expansion is the liquid's
    volumetric expansion [1/K] that carries it to other pour temperatures. The
    usual_ figures are those of the material or its kind, before anything the maker
    typed for this candle; they serve the cautions.
    """

    name: str
    kind: str
    density_hot: Density
    density_hot_at: Kelvin
    expansion: float
    density_set: Density
    melt: Window  # melt and hold
    add: Window  # fragrance addition
    pour: Window
    stir: Span
    cure: Span
    max_load: Fraction1 | None = None  # of wax, where the supplier states one
    usual_load: tuple[Fraction1, Fraction1] | None = None  # of wax, low and high
    usual_add: Window | None = None
    usual_pour: Window | None = None
    heat_capacity: float = 2200.0  # liquid [J/(kg K)], physics of the pitcher
    melting_heat: float = 150_000.0  # [J/kg], for melt time
    melts_at: Kelvin = Kelvin(325.15)
    thermal: Thermal = Thermal()


class LoadBasis(StrEnum):
    """What a fragrance load is a percentage of."""

    WAX = "of wax"
    TOTAL = "of total"


@dataclass(frozen=True, slots=True)
class Load:
    """A fragrance load, never without its basis."""

    amount: Fraction1
    basis: LoadBasis


@dataclass(frozen=True, slots=True, kw_only=True)
class Oil:
    """One fragrance oil in the blend; parts are relative masses."""

    name: str
    parts: float = 1.0
    density: Density = Density(950.0)
    flash_point: Kelvin | None = None
    flash_method: str = ""  # "closed cup", "open cup" or not said


@dataclass(frozen=True, slots=True, kw_only=True)
class Dye:
    """A dye: mass of dye per mass of wax [1], however it was counted out.

    counted: how the maker counts it ("drops", "blocks"), unit_mass [kg] each.
    """

    name: str
    per_wax: Fraction1
    counted: str = ""
    unit_mass: Kilogram | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Additive:
    """An additive as a fraction of the wax."""

    name: str
    of_wax: Fraction1


@dataclass(frozen=True, slots=True, kw_only=True)
class Wick:
    """The wick(s): trim is the length left above the wax [m].

    burn_rate [kg/s]: the fuel one wick burns, low and high; burn_rate_origin says who says so.
    """

    name: str
    kind: str
    count: int = 1
    trim: Metre = Metre(0.00635)
    core: str = "none"  # "none", "paper", "cotton", "metal" …
    cut_allowance: Metre = Metre(0.0)  # extra to hold or centre it while pouring
    suits: tuple[Metre, Metre] | None = None  # inner diameters its maker gives for one wick [m]
    burn_rate: tuple[float, float] | None = None
    burn_rate_origin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A finish on the outside: an amount per jar, as mass [kg] or pieces.

    combustible, sheds: what burns or flakes near a flame.
    """

    name: str
    mass: Kilogram | None = None
    pieces: int = 0
    combustible: bool = False
    sheds: bool = False
    rim_gap: Metre | None = None  # distance below the rim [m], where known


@dataclass(frozen=True, slots=True, kw_only=True)
class Candle:
    """A candle: the design of one jar, complete."""

    name: str
    vessel: Vessel
    fill: Fill
    wax: Wax
    wick: Wick
    load: Load | None = None
    oils: tuple[Oil, ...] = ()
    dyes: tuple[Dye, ...] = ()
    additives: tuple[Additive, ...] = ()
    finishes: tuple[Finish, ...] = ()
    note: str = field(default="")

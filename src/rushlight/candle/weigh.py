"""What one jar takes: the main calculation, every intermediate kept."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.candle import density
from rushlight.candle.cautions import cautions
from rushlight.candle.fill import level
from rushlight.candle.load import Recipe, recipe
from rushlight.candle.parts import Candle, FillBy, FillState
from rushlight.candle.sheet import JarSheet, Line, Role
from rushlight.candle.windows import windows
from rushlight.quantity.si import Density, Fraction1, Kelvin, Kilogram, Metre


def weigh(candle: Candle) -> JarSheet:
    """Return what to weigh for one jar of a candle.

    The fill gives a volume, the mix a density, their product the mass poured;
    the recipe divides it. Raises BadInput where the fill does not fit the vessel.
    """
    mix = recipe(candle)
    pour_at = candle.wax.pour.aim
    hot, cold = _density_hot(candle, mix, pour_at), _density_set(candle, mix)
    fill = level(candle.vessel, candle.fill, hot=hot, cold=cold)
    # A net weight is poured hot whatever state was chosen: its level is the hot one.
    by_net = candle.fill.by is FillBy.NET
    state = FillState.HOT if by_net else candle.fill.state
    wax_mass = Kilogram(fill.mass / mix.total)
    depth = candle.vessel.profile.depth
    wick_length = Metre(fill.set_height + candle.wick.trim)
    return JarSheet(
        candle=candle,
        brim_volume=candle.vessel.brim_volume,
        fill_volume=fill.hot_volume,
        fill_height=fill.hot_height,
        headspace=Metre(depth - fill.hot_height),
        fill_fraction=Fraction1(fill.hot_volume / candle.vessel.brim_volume),
        density_hot=hot,
        density_set=cold,
        density_state=state,
        density_used=hot if state is FillState.HOT else cold,
        pour_at=pour_at,
        fill_mass=fill.mass,
        wax_mass=wax_mass,
        fragrance_mass=Kilogram(wax_mass * mix.fragrance),
        load_of_wax=mix.fragrance,
        load_of_total=Fraction1(mix.fragrance / mix.total),
        set_volume=fill.set_volume,
        set_height=fill.set_height,
        set_headspace=Metre(depth - fill.set_height),
        lines=tuple(_lines(candle, mix, wax_mass)),
        wick_length=wick_length,
        # The uncut wick must stand clear of the rim to be held straight while pouring.
        wick_cut=Metre(depth + candle.wick.trim + candle.wick.cut_allowance),
        finishes=tuple(_finishes(candle)),
        windows=windows(candle),
        cautions=cautions(candle, fill),
    )


def _density_hot(candle: Candle, mix: Recipe, at: Kelvin) -> Density:
    wax = density.wax_at(candle.wax, at)
    # Dyes and additives are a percent or two; they take the wax's own density.
    rest = Fraction1(mix.total - mix.fragrance)
    oils = [(share, density.oil_at(oil, at)) for oil, share in mix.oils]
    return density.mix([(rest, wax), *oils])


def _density_set(candle: Candle, mix: Recipe) -> Density:
    rest = Fraction1(mix.total - mix.fragrance)
    oils = [(share, oil.density) for oil, share in mix.oils]
    return density.mix([(rest, candle.wax.density_set), *oils])


def _lines(candle: Candle, mix: Recipe, wax: Kilogram) -> Iterator[Line]:
    yield _line(Role.WAX, candle.wax.name, 1.0, wax, mix)
    for oil, share in mix.oils:
        yield _line(Role.FRAGRANCE, oil.name, share, wax, mix)
    for dye in candle.dyes:
        yield _line(Role.DYE, dye.name, dye.per_wax, wax, mix)
    for additive in candle.additives:
        yield _line(Role.ADDITIVE, additive.name, additive.of_wax, wax, mix)


def _line(role: Role, name: str, of_wax: float, wax: Kilogram, mix: Recipe) -> Line:
    return Line(role, name, Kilogram(wax * of_wax), Fraction1(of_wax / mix.total))


def _finishes(candle: Candle) -> Iterator[Line]:
    """Finishes by weight; they are outside the jar, so they are no part of the total."""
    for finish in candle.finishes:
        if finish.mass is not None:
            yield Line(Role.FINISH, finish.name, finish.mass, Fraction1(0.0))

"""Both engines against each other and against exact solutions of heat conduction."""

import numpy as np
import pytest
from scipy import integrate, optimize, special

from rushlight.candle.profile import shouldered, straight, tapered
from rushlight.heat.enthalpy import ZERO, Curve, Transition, WaxThermal, curve
from rushlight.heat.grid import plain_grid, vessel_grid
from rushlight.heat.march import Engine, Pace, march
from rushlight.heat.system import (
    Parts,
    assemble,
    constant_air,
    heat_content,
    start_state,
)
from rushlight.heat.waxes import PARAFFIN, SOY, WAXES
from rushlight.quantity.si import Metre
from tests.support.bodies import GLASS, engines, plain_wax, run


def jar(profile_kind: str, wax: WaxThermal, columns: int, rows: int) -> tuple[Parts, Curve]:
    """Return a glass jar of one of three shapes."""
    profile = {
        "straight": straight(depth=Metre(0.09), diameter=Metre(0.075)),
        "tapered": tapered(depth=Metre(0.09), base_diameter=Metre(0.06), diameter=Metre(0.08)),
        "shouldered": shouldered(
            depth=Metre(0.1),
            diameter=Metre(0.08),
            shoulder_height=Metre(0.06),
            neck_diameter=Metre(0.05),
        ),
    }[profile_kind]
    grid = vessel_grid(profile, fill=0.08, wall=0.003, base=0.006, columns=columns, rows=rows)
    side = constant_air(11, ZERO + 22)
    line = curve(wax, mixing=3.0)
    parts = assemble(grid, line, density=875, shell=GLASS, airs=(side, side, side, side))
    return parts, line


@pytest.mark.parametrize("shape", ["straight", "tapered", "shouldered"])
@pytest.mark.parametrize("wax", WAXES.values(), ids=list(WAXES))
def test_the_compiled_engine_equals_its_numpy_twin(shape: str, wax: WaxThermal) -> None:
    """The same steps give the same states, to rounding, in every vessel and wax."""
    parts, line = jar(shape, wax, 9, 14)
    state = start_state(parts, enthalpy=float(line.enthalpy(ZERO + 68)), shell=ZERO + 22)
    times = np.array([60.0, 600.0, 3600.0, 10800.0])
    fast = march(parts, state, times)
    slow = march(parts, state, times, engine=Engine.NUMPY)
    assert fast.stages == slow.stages
    np.testing.assert_allclose(fast.frames, slow.frames, rtol=1e-9, atol=1e-6)


@engines
@pytest.mark.parametrize("shape", ["straight", "tapered", "shouldered"])
def test_heat_is_neither_made_nor_lost(shape: str, engine: Engine) -> None:
    """Wax, vessel and air together hold the same heat to 1e-9 at every output time."""
    parts, line = jar(shape, SOY, 8, 12)
    state = start_state(parts, enthalpy=float(line.enthalpy(ZERO + 68)), shell=ZERO + 22)
    result = march(parts, state, np.linspace(100, 20000, 20), engine=engine)
    start = heat_content(parts, state)
    for frame in result.frames:
        assert heat_content(parts, frame) == pytest.approx(start, rel=1e-9)
    assert result.frames[-1, -4:].sum() > 0.2 * parts.mass.sum() * 130e3  # it did set


def neumann(  # noqa: PLR0913, PLR0917 -- the constants of the problem
    k: float, k_o: float, rho: float, c: float, c_o: float, latent: float, hot: float, step: float
) -> float:
    """Return λ of the two-phase Stefan problem (Carslaw & Jaeger 1959, § 11.2).

    hot, step: far and wall temperature away from melting, both positive [K].
    """
    a, b = k / rho / c, k_o / rho / c_o

    def residual(x: float) -> float:
        other = 0.0
        if hot:
            other = (
                (k_o / k)
                * np.sqrt(a / b)
                * (hot / step)
                * np.exp(-(x**2) * a / b)
                / special.erfc(x * np.sqrt(a / b))
            )
        left = np.exp(-(x**2)) / special.erf(x) - other
        return float(left - x * np.sqrt(np.pi) * latent / c / step)

    return float(optimize.brentq(residual, 1e-3, 3.0))


# λ computed to 20 digits with mpmath from the equation of Carslaw & Jaeger (1959) § 11.2
CASES = {
    "one-phase paraffin": ((0.24, 0.24, 850, 2100, 2100, 190e3, 0.0, 37.0), 57, 20, 0.4254100048),
    "two-phase soy-like": ((0.18, 0.16, 890, 2000, 2050, 140e3, 15.0, 28.0), 50, 22, 0.352716904),
}


def front_error(case: str, cells: int, engine: Engine = Engine.COMPILED) -> float:
    """Return the relative error of λ from the front position over an hour."""
    (k, k_o, rho, c, c_o, latent, hot, _), melts, wall, exact = CASES[case]
    length = 0.06
    wax = plain_wax(
        transitions=(Transition(ZERO + melts, ZERO + melts, latent),),
        heat_solid=c,
        heat_liquid=c_o,
        conduct_solid=k,
        conduct_liquid=k_o,
    )
    line = curve(wax)
    grid = plain_grid(0.01, length, columns=1, rows=cells, faces="b")
    times = list(np.linspace(900, 3600, 10))
    parts, result = run(
        grid,
        line,
        constant_air(1e9, ZERO + wall),
        density=rho,
        start=melts + hot,
        times=times,
        engine=engine,
        pace=Pace(2, 0.01, 20),
    )
    share = line.liquid_fraction(result.frames[:, : parts.cells]) @ parts.mass / parts.mass.sum()
    front = length * (1 - share)
    fitted = front / (2 * np.sqrt(k / rho / c * np.array(times)))
    return float(np.sqrt(np.mean((fitted / exact - 1) ** 2)))


@pytest.mark.parametrize("case", CASES)
def test_freezing_against_a_cold_wall_follows_neumann(case: str) -> None:
    """λ and front within 0.5 % at 200 cells; the exact root is itself recomputed."""
    assert neumann(*CASES[case][0]) == pytest.approx(CASES[case][3], rel=1e-8)
    assert front_error(case, 200) < 0.005


def test_the_front_converges_with_the_grid() -> None:
    """Halving the cells more than halves the error: at least first order."""
    errors = [front_error("two-phase soy-like", n) for n in (25, 50, 100, 200)]
    order = -np.polyfit(np.log([25, 50, 100, 200]), np.log(errors), 1)[0]
    assert order > 0.9


@engines
def test_melting_follows_neumann_in_the_published_case(engine: Engine) -> None:
    """60.45 % liquid 2 h after 50 %: two-phase Stefan example of the CoCoNuT coupling code.

    Starting from nothing molten, 50 % at 15 590.7 s and 60.45 % two hours on
    (λ = 0.2410966638 from Carslaw & Jaeger § 11.2); the example states "approximately 60 %".
    """
    wax = plain_wax(
        transitions=(Transition(ZERO + 26, ZERO + 26, 179e3),),
        heat_solid=2500.0,
        heat_liquid=2500.0,
        conduct_solid=0.024,
        conduct_liquid=1.5,
    )
    line = curve(wax)
    grid = plain_grid(0.01, 0.1, columns=1, rows=100, faces="b")
    parts, result = run(
        grid,
        line,
        constant_air(1e9, ZERO + 36),
        density=870,
        start=16,
        times=[15590.7, 22790.7],
        engine=engine,
        pace=Pace(5, 0.05, 120 if engine is Engine.NUMPY else 30),
        molten=0.0,
    )
    share = line.liquid_fraction(result.frames[:, : parts.cells]) @ parts.mass / parts.mass.sum()
    assert share == pytest.approx([0.5, 0.6045], rel=0.01)


# Full-freeze Fourier numbers: front-fixing solution on two grids agreeing to 1e-5, own
# computation; slab 1/(4λ²) exact. Columns: St, Bi (0: fixed wall), Fo
FREEZE = [(0.1, 0.0, 2.66824), (0.4, 0.0, 0.77250), (0.2, 5.0, 1.96550), (0.4, 2.0, 1.50738)]


@pytest.mark.parametrize(("stefan", "biot", "fourier"), FREEZE)
def test_a_cylinder_freezes_inward_in_the_known_time(
    stefan: float, biot: float, fourier: float
) -> None:
    """Full-freeze time of a cylinder within 1 %, fixed wall and convection."""
    step, radius = 20.0, 0.03
    wax = plain_wax(transitions=(Transition(ZERO + 50, ZERO + 50, 2000.0 * step / stefan),))
    line = curve(wax)
    grid = plain_grid(radius, 0.01, columns=100, rows=1, faces="s")
    expected = fourier * radius**2 / (0.2 / 900 / 2000)
    times = list(np.linspace(0.97, 1.02, 101) * expected)
    h = biot * 0.2 / radius if biot else 1e9
    parts, result = run(
        grid,
        line,
        constant_air(h, ZERO + 30),
        density=900,
        start=50,
        times=times,
        pace=Pace(2, 0.01, 30),
    )
    share = line.liquid_fraction(result.frames[:, : parts.cells]) @ parts.mass / parts.mass.sum()
    frozen = np.array(times)[share <= 1e-6]
    assert frozen[0] == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("engine", list(Engine))
def test_a_jar_like_cylinder_with_a_mushy_range_cools_as_computed_elsewhere(
    engine: Engine,
) -> None:
    """Run J1: infinite cylinder, mushy range, convective wall.

    Source: method of lines with BDF (100–400 cells) and an explicit code, agreeing
    to 0.03 K; own computation. Centre reaches the solidus after 21 975.6 s.
    """
    wax = plain_wax(
        transitions=(Transition(ZERO + 46, ZERO + 52, 140e3),),
        conduct_solid=0.17,
        conduct_liquid=0.17,
    )
    line = curve(wax)
    grid = plain_grid(
        0.037, 0.01, columns=100 if engine is Engine.COMPILED else 50, rows=1, faces="s"
    )
    known = {
        600: (64.969, 50.436, 0.9927),
        1800: (61.901, 47.312, 0.9197),
        3600: (55.872, 44.419, 0.7835),
        7200: (52.039, 39.445, 0.5244),
        10800: (51.959, 35.899, 0.3240),
        14400: (51.598, 33.201, 0.1742),
        18000: (50.569, 30.951, 0.0659),
        21600: (47.670, 28.809, 0.0021),
        28800: (26.758, 24.057, 0.0),
    }
    near = list(np.linspace(21700, 22300, 61))
    times = sorted([*map(float, known), *near])
    parts, result = run(
        grid, line, constant_air(10, ZERO + 22), density=890, start=65, times=times, engine=engine
    )
    h = result.frames[:, : parts.cells]
    warm = line.temperature(h) - ZERO
    middle = grid.rings.index(0, 0)
    edge = grid.rings.index(0, grid.rings.columns - 1)
    outlet = warm[:, edge] - 22
    half = 0.5 * 0.037 / grid.rings.columns
    wall = 22 + outlet / (1 + 10 * half / 0.17)
    top = float(line.enthalpy(ZERO + 52)) - float(line.enthalpy(ZERO + 46))
    fraction = np.clip((h - float(line.enthalpy(ZERO + 46))) / top, 0, 1) @ parts.mass
    for place, t in enumerate(times):
        if t in known:
            centre, side, share = known[int(t)]
            assert warm[place, middle] == pytest.approx(centre, abs=0.2)
            assert wall[place] == pytest.approx(side, abs=0.2)
            assert fraction[place] / parts.mass.sum() == pytest.approx(share, abs=0.006)
    solid = np.array(times)[warm[:, middle] <= 46.0]
    assert solid[0] == pytest.approx(21975.6, rel=0.01)


def test_a_hotter_pour_never_sets_sooner() -> None:
    """More heat poured in leaves more liquid at every time."""
    shares = []
    for pour in (60, 65, 70, 75):
        parts, line = jar("straight", PARAFFIN, 10, 20)
        state = start_state(parts, enthalpy=float(line.enthalpy(ZERO + pour)), shell=ZERO + 22)
        result = march(parts, state, np.array([1800.0, 3600.0, 7200.0]))
        shares.append(line.liquid_fraction(result.frames[:, : parts.cells]) @ parts.mass)
    assert np.all(np.diff(np.array(shares), axis=0) > 0)


def test_the_solution_of_a_slab_obeys_its_heat_flow() -> None:
    """The heat given to a cold wall equals the integral of the exact flux within 1 %.

    q = k ΔT/(erf λ √(π α t)); Carslaw & Jaeger (1959) § 11.2, one-phase paraffin.
    """
    (k, _, rho, c, _, latent, _, step), melts, wall, lam = CASES["one-phase paraffin"]
    line = curve(
        plain_wax(
            transitions=(Transition(ZERO + melts, ZERO + melts, latent),),
            heat_solid=c,
            heat_liquid=c,
            conduct_solid=k,
            conduct_liquid=k,
        )
    )
    grid = plain_grid(0.01, 0.06, columns=1, rows=200, faces="b")
    _, result = run(
        grid,
        line,
        constant_air(1e9, ZERO + wall),
        density=rho,
        start=melts,
        times=[3600.0],
        pace=Pace(1, 0.01, 20),
    )

    def flux(t: float) -> float:
        return float(k * step / (special.erf(lam) * np.sqrt(np.pi * k / rho / c * t)))

    expected = integrate.quad(flux, 0, 3600)[0] * np.pi * 0.01**2
    assert result.frames[-1, -4:].sum() == pytest.approx(expected, rel=0.01)

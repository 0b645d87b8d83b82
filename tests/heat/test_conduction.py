"""Conduction without a change of phase, against series and closed forms."""

import numpy as np
import pytest
from numpy.typing import NDArray

from rushlight.heat.enthalpy import ZERO, Transition, curve
from rushlight.heat.grid import plain_grid
from rushlight.heat.march import Engine, Pace
from rushlight.heat.system import (
    air_from,
    constant_air,
)
from tests.support.bodies import engines, plain_wax, run


@engines
def test_a_cylinder_cools_by_the_series(engine: Engine) -> None:
    """Infinite cylinder, Bi = 2 and 5: centre and mean of the exact series.

    Source: Bessel series, computed; one-term coefficients agree with Incropera,
    Fundamentals of Heat Transfer, table 5.1 (from memory).
    """
    known = {
        2.0: {0.2: (0.789986, 0.572699), 0.5: (0.372397, 0.265390), 1.0: (0.103645, 0.073852)},
        5.0: {0.2: (0.671418, 0.396197), 0.5: (0.207554, 0.120455), 1.0: (0.028668, 0.016636)},
    }
    radius, alpha = 0.03, 0.2 / 900 / 2000
    line = curve(plain_wax(transitions=(Transition(ZERO + 200, ZERO + 200, 0.0),)))
    for biot, rows in known.items():
        grid = plain_grid(radius, 0.01, columns=60, rows=1, faces="s")
        times = [fourier * radius**2 / alpha for fourier in rows]
        parts, result = run(
            grid,
            line,
            constant_air(biot * 0.2 / radius, ZERO + 20),
            density=900,
            start=60,
            times=times,
            engine=engine,
            pace=Pace(2, 0.01, 20),
        )
        theta = (line.temperature(result.frames[:, : parts.cells]) - ZERO - 20) / 40
        for row, (centre, mean) in zip(theta, rows.values(), strict=True):
            assert row[grid.rings.index(0, 0)] == pytest.approx(centre, abs=1e-3)
            assert row @ parts.mass / parts.mass.sum() == pytest.approx(mean, abs=1e-3)


def test_a_finite_plug_cools_by_the_product_of_series() -> None:
    """Solid plug R 37 mm, H 80 mm, h = 9 on all faces: ±0.05 K.

    Source: product of the series of a slab and a cylinder (Carslaw & Jaeger 1959), computed.
    """
    line = curve(
        plain_wax(
            heat_solid=2100.0,
            heat_liquid=2100.0,
            transitions=(Transition(ZERO + 200, ZERO + 200, 0.0),),
        )
    )
    grid = plain_grid(0.037, 0.08, columns=37, rows=81, faces="stb")
    known = {600: 44.972, 1800: 42.553, 3600: 36.100, 7200: 27.856, 14400: 22.981}
    parts, result = run(
        grid,
        line,
        constant_air(9, ZERO + 22),
        density=900,
        start=45,
        times=[float(t) for t in known],
        pace=Pace(2, 0.02, 60),
    )
    warm = line.temperature(result.frames[:, : parts.cells]) - ZERO
    for row, centre in zip(warm, known.values(), strict=True):
        assert row[grid.rings.index(40, 0)] == pytest.approx(centre, abs=0.05)


@engines
def test_a_thin_body_cools_by_the_power_law(engine: Engine) -> None:
    """Lumped cooling with h ∝ ΔT^¼ follows θ = (1 + n h A t/(ρVc))^(−1/n) within 0.1 %.

    Source: Bejan & Kraus, Heat Transfer Handbook, eq. 3.285–3.286.
    """
    wax = plain_wax(conduct_solid=200.0, conduct_liquid=200.0)
    line = curve(wax)
    grid = plain_grid(0.02, 0.02, columns=4, rows=4, faces="st")
    step, coefficient = 60.0, 8.0

    def flux(t: NDArray[np.float64]) -> NDArray[np.float64]:
        gap = t - (ZERO + 20)
        return np.asarray(coefficient * np.abs(gap / step) ** 0.25 * gap)

    times = [600.0, 1800.0, 3600.0]
    parts, result = run(
        grid,
        line,
        air_from(flux, ZERO + 20),
        density=900,
        start=80,
        times=times,
        engine=engine,
        pace=Pace(1, 0.01, 10),
    )
    area = float(grid.open.area.sum())
    exact = (1 + 0.25 * coefficient * area / (parts.mass.sum() * 2000) * np.array(times)) ** -4.0
    warm = line.temperature(result.frames[:, : parts.cells]) - ZERO - 20
    mean = warm @ parts.mass / parts.mass.sum() / step
    np.testing.assert_allclose(mean, exact, rtol=1e-3)

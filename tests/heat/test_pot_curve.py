"""The cooling curve against closed forms and its order of convergence."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rushlight.heat.pot_body import Temperatures
from rushlight.heat.pot_curve import follow


def test_power_law_convection_follows_the_closed_form() -> None:
    """θ = (1 + n h A t/(ρVc))^(−1/n): Bejan & Kraus, Heat Transfer Handbook, eq. 3.286.

    n 1/4, h 8 W/(m² K), A 0.07 m², C 3480 J/K: θ(600) 0.909005, θ(1800)
    0.756050, θ(3600) 0.582156, from the formula.
    """
    room, start = 295.15, 358.15

    def rate(temperature: Temperatures) -> Temperatures:
        share = np.abs(temperature - room) / (start - room)
        return 8.0 * 0.07 / 3480.0 * share**0.25 * (temperature - room)

    curve = follow(rate, room=room, start=start)
    theta = (curve.temperature_at([600.0, 1800.0, 3600.0]) - room) / (start - room)
    closed = (1.0 + 0.25 * 8.0 * 0.07 / 3480.0 * np.array([600.0, 1800.0, 3600.0])) ** -4.0
    assert closed == pytest.approx([0.909005, 0.756050, 0.582156], abs=1e-6)
    assert theta == pytest.approx(closed, rel=1e-4)


def test_newtons_pizza_is_at_300_f_after_27_minutes() -> None:
    """OpenStax Calculus Volume 2, Newton's law of cooling: 350 °F, 340 °F after 5 min, room 75 °F.

    The textbook finds about 22 further minutes to 300 °F; the formula 27.09 min in all.
    """
    k = math.log(275.0 / 265.0) / 5.0

    def rate(temperature: Temperatures) -> Temperatures:
        return k * (temperature - 75.0)

    curve = follow(rate, room=75.0, start=350.0)
    assert curve.temperature_at(5.0) == pytest.approx(340.0, abs=1e-6)
    assert curve.time_at(300.0) == pytest.approx(27.09, abs=0.005)


def test_radiation_alone_follows_its_integral() -> None:
    """Into a surrounding at absolute zero T⁻³ = T₀⁻³ + 3 a t (elementary integration)."""
    a = 1e-12

    def rate(temperature: Temperatures) -> Temperatures:
        return a * temperature**4

    curve = follow(rate, room=0.0, start=400.0, nodes=4000)
    for seconds in (100.0, 1000.0, 5000.0):
        exact = (400.0**-3 + 3 * a * seconds) ** (-1 / 3)
        assert curve.temperature_at(seconds) == pytest.approx(exact, rel=1e-5)


def test_curve_converges_at_second_order() -> None:
    """Halving the step quarters the error of the time, for a smooth non-linear loss."""
    room, start = 295.15, 358.15

    def rate(temperature: Temperatures) -> Temperatures:
        return 1e-4 * np.abs(temperature - room) ** 1.25

    errors = []
    for nodes in (101, 201, 401):
        # the passing of a node, so that interpolation adds nothing
        curve = follow(rate, room=room, start=start, nodes=nodes)
        node = np.argmin(np.abs(np.exp(-curve.gap) - 25.0))
        above = math.exp(-curve.gap[node])
        exact = (above**-0.25 - 63.0**-0.25) / (0.25 * 1e-4)
        errors.append(abs(float(curve.time[node]) - exact))
    orders = [math.log2(errors[i] / errors[i + 1]) for i in range(2)]
    assert orders == pytest.approx([2.0, 2.0], abs=0.2)


def test_a_temperature_beyond_the_room_is_never_reached() -> None:
    """The time of a temperature past the room is infinite; of one past the start, zero."""
    curve = follow(lambda t: 1e-4 * (t - 290.0), room=290.0, start=350.0)
    assert curve.time_at(289.0) == math.inf
    assert curve.time_at(360.0) == 0.0

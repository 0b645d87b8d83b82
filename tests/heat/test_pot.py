"""The cooling pitcher: reference run, limits, bad input."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.heat.pot import MeltTime, Pot, cool, fill_height, melt_time
from rushlight.heat.pot_body import loss
from rushlight.quantity.si import Density, Fraction1, Kelvin, Kilogram, Metre, Watt

# The reference pitcher: 1.5 kg wax (2200 J/(kg K)), 0.2 kg aluminium (900), 140 mm × 130 mm.
POT = Pot(
    wax_mass=Kilogram(1.5),
    wax_heat_capacity=2200.0,
    pitcher_mass=Kilogram(0.2),
    pitcher_heat_capacity=900.0,
    diameter=Metre(0.14),
    fill_height=Metre(0.13),
)
HOT, ROOM = Kelvin(358.15), Kelvin(295.15)  # 85 °C, 22 °C


def test_reference_run_agrees_with_an_independent_computation() -> None:
    """An independent integration with ht and CoolProp gives these temperatures [°C].

    Accepted: 0.03 K, the difference of the two descriptions of air.
    """
    minutes = np.array([10, 15, 20, 30, 45, 60])
    expected = np.array([78.25, 75.21, 72.38, 67.25, 60.71, 55.30])
    cooled = cool(POT, start=HOT, room=ROOM, times=60.0 * minutes) - 273.15
    assert np.abs(cooled - expected).max() < 0.03
    assert float(loss(POT, np.array([HOT]), ROOM)[0]) == pytest.approx(42.0, abs=0.1)


def test_curve_agrees_with_small_explicit_steps() -> None:
    """Runge–Kutta in 5 s steps over the same loss gives the same hour within 2 mK."""
    temperature = float(HOT)
    for _ in range(720):

        def fall(kelvin: float) -> float:
            return -float(loss(POT, np.array([kelvin]), ROOM)[0]) / POT.heat_capacity

        k1 = fall(temperature)
        k2 = fall(temperature + 2.5 * k1)
        k3 = fall(temperature + 2.5 * k2)
        k4 = fall(temperature + 5.0 * k3)
        temperature += 5.0 * (k1 + 2 * k2 + 2 * k3 + k4) / 6.0
    assert cool(POT, start=HOT, room=ROOM, times=[3600.0])[0] == pytest.approx(
        temperature, abs=2e-3
    )


@given(st.floats(60.0, 100.0), st.floats(5.0, 30.0), st.floats(0.5, 15.0))
def test_a_colder_room_cools_the_wax_faster(start: float, room: float, colder: float) -> None:
    """At every time the wax in the colder room is the colder wax."""
    times = np.linspace(60.0, 7200.0, 20)
    warm = cool(POT, start=Kelvin(start + 273.15), room=Kelvin(room + 273.15), times=times)
    cold = cool(POT, start=Kelvin(start + 273.15), room=Kelvin(room + 273.15 - colder), times=times)
    assert np.all(cold < warm)


@given(st.floats(0.1, 20.0), st.floats(-10.0, 100.0), st.floats(0.2, 5.0))
def test_wax_moves_towards_the_room_and_never_past_it(
    mass: float, start: float, factor: float
) -> None:
    """From above or below, temperatures are monotone between start and room."""
    pot = replace(POT, wax_mass=Kilogram(mass))
    begin = Kelvin(max(start + 273.15, 268.15))
    curve = cool(pot, start=begin, room=ROOM, times=np.linspace(0, 1e5, 50), loss_factor=factor)
    assert curve[0] == pytest.approx(begin, abs=0.03)
    assert np.all(np.diff(curve) * math.copysign(1.0, ROOM - begin) >= -1e-9)
    assert np.all((curve - ROOM) * math.copysign(1.0, begin - ROOM) >= -1e-9)


def test_wax_at_room_temperature_stays_there() -> None:
    """Nothing flows between equals."""
    assert np.all(cool(POT, start=ROOM, room=ROOM, times=[0.0, 1e4]) == ROOM)


def test_loss_factor_is_a_scale_of_time() -> None:
    """Twice the loss reaches in half the time what the plain pitcher reaches."""
    plain = cool(POT, start=HOT, room=ROOM, times=[1200.0, 2400.0])
    twice = cool(POT, start=HOT, room=ROOM, times=[600.0, 1200.0], loss_factor=2.0)
    assert twice == pytest.approx(plain, abs=1e-9)


def test_fill_height_is_volume_over_floor() -> None:
    """1.75 kg at 875 kg/m³ is 2 l; over a floor of 1 dm² it stands 2 dm high."""
    across = Metre(math.sqrt(4 * 0.01 / math.pi))
    assert fill_height(Kilogram(1.75), Density(875.0), across) == pytest.approx(0.2)


def test_cooling_names_every_bad_figure_at_once() -> None:
    """All problems of pot, room, start and times arrive together, each with its place."""
    bad = replace(POT, diameter=Metre(-1.0), wax_mass=Kilogram(math.nan))
    with pytest.raises(BadInput) as caught:
        cool(bad, start=Kelvin(1000.0), room=Kelvin(0.0), times=[-1.0], loss_factor=0.0)
    assert {p.place for p in caught.value.problems} == {
        "pot.wax_mass",
        "pot.diameter",
        "room",
        "start",
        "times",
        "loss_factor",
    }
    assert all(p.remedy for p in caught.value.problems)


def melt(pot: Pot, watts: float, efficiency: float = 0.8) -> MeltTime:
    """Melt from 20 °C to 85 °C a wax that melts at 52 °C with 150 kJ/kg."""
    return melt_time(
        pot,
        watts=Watt(watts),
        start=Kelvin(293.15),
        target=HOT,
        melts_at=Kelvin(325.15),
        melting_heat=150_000.0,
        room=ROOM,
        efficiency=Fraction1(efficiency),
    )


def test_melt_time_without_loss_is_heat_over_power() -> None:
    """Almost no surface and full efficiency: t = (m c_s ΔT + m L + m c_l ΔT + pitcher) / P.

    1.5·2000·32 + 1.5·150000 + 1.5·2200·33 + 0.2·900·65 = 441 600 J by hand; at 1000 W, 441.6 s.
    """
    tiny = replace(POT, diameter=Metre(0.01), fill_height=Metre(0.001))
    melted = melt(tiny, 1000.0, 1.0)
    assert melted.solid + melted.melting + melted.liquid + melted.pitcher == pytest.approx(
        441_600.0
    )
    assert melted.time == pytest.approx(441.6, rel=1e-3)


@given(st.floats(200.0, 3000.0), st.floats(0.3, 0.95))
def test_melter_heat_is_conserved(watts: float, efficiency: float) -> None:
    """What the wax took plus what the room took is what reached the pitcher."""
    melted = melt(POT, watts, efficiency)
    stored = melted.solid + melted.melting + melted.liquid + melted.pitcher
    assert stored + melted.lost == pytest.approx(efficiency * melted.drawn, rel=1e-9)
    mean_loss = melted.lost / melted.time
    assert 0.0 < mean_loss < float(loss(POT, np.array([HOT]), ROOM)[0])
    assert 0.0 < melted.spread < math.inf


def test_a_weak_melter_is_told_so() -> None:
    """The pitcher loses 42 W at 85 °C: a 45 W melter at 80 % never gets there."""
    with pytest.raises(BadInput, match="loses as much") as caught:
        melt(POT, 45.0)
    assert caught.value.problems[0].place == "watts"


def test_melt_time_names_every_bad_figure_at_once() -> None:
    """Absurd watts, heat, efficiency and a target below the start arrive together."""
    with pytest.raises(BadInput) as caught:
        melt_time(
            POT,
            watts=Watt(math.inf),
            start=HOT,
            target=ROOM,
            melts_at=Kelvin(325.15),
            melting_heat=-1.0,
            room=ROOM,
            efficiency=Fraction1(9.0),
        )
    assert {p.place for p in caught.value.problems} == {
        "watts",
        "melting_heat",
        "efficiency",
        "target",
    }


def test_the_spread_of_melt_time_joins_its_doubts() -> None:
    """Without loss, at 1000 W and 0.8 ± 0.1, by hand.

    552 s · 0.1/0.8 = 69 s from the efficiency; 225 kJ · 15 % / 800 W = 42.2 s from
    the melting heat; 1.645 · √(69² + 42.2²) = 133 s nine times in ten.
    """
    tiny = replace(POT, diameter=Metre(0.01), fill_height=Metre(0.001))
    assert melt(tiny, 1000.0).spread == pytest.approx(133.0, rel=0.01)


def test_already_liquid_wax_needs_no_melting_heat() -> None:
    """From above the melting point only liquid is warmed."""
    melted = melt_time(
        POT,
        watts=Watt(500.0),
        start=Kelvin(340.0),
        target=HOT,
        melts_at=Kelvin(325.15),
        melting_heat=150_000.0,
        room=ROOM,
    )
    assert melted.solid == melted.melting == 0.0
    assert melted.liquid == pytest.approx(1.5 * 2200.0 * 18.15)


@pytest.mark.slow
def test_cooling_is_quick() -> None:
    """A curve of 200 points takes under 2 ms on any machine we know."""
    started = time.perf_counter()
    for _ in range(20):
        cool(POT, start=HOT, room=ROOM, times=np.linspace(0, 3600, 200))
    assert (time.perf_counter() - started) / 20 < 2e-3

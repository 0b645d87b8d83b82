"""Where a candle stands."""

from dataclasses import replace

import numpy as np
import pytest

from rushlight.errors import BadInput
from rushlight.heat.ensemble import RANGES, doubts, latin, spread
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.surroundings import MATERIALS, Place, Stand, Sway, airs, crowding
from rushlight.heat.system import TABLE_BELOW, TABLE_STEP


def fluxes(place: Place, sway: Sway | None = None) -> np.ndarray:
    """Return the flux of side, base, top and rim 30 K above the room [W/m²]."""
    found = airs(
        place, MATERIALS["glass"], diameter=0.08, height=0.1, rim=0.012, sway=sway or Sway()
    )
    return np.array([air.flux[TABLE_BELOW + round(30 / TABLE_STEP)] for air in found])


def test_a_jar_loses_what_the_correlations_say() -> None:
    """Side about 11.7, top within a third of 14, at 50 °C in 22 °C [W/(m² K)].

    Source: computed with `ht` 1.2 and CoolProp for a 90 mm side: 5.7–6.0 by convection
    and 6.0 by radiation; top 8.5 and 6 when it is not recessed.
    """
    found = airs(
        Place(room=ZERO + 22),
        MATERIALS["glass"],
        diameter=0.08,
        height=0.09,
        rim=0.001,
        sway=Sway(),
    )
    side, _, top, _ = (air.flux[TABLE_BELOW + round(28 / TABLE_STEP)] / 28 for air in found)
    assert side == pytest.approx(11.9, abs=0.4)
    assert top == pytest.approx(14.5, rel=0.1)


def test_nothing_flows_at_room_temperature() -> None:
    """The ambient lies on a row of the table, and its flux is nought; above it, it rises."""
    for air in airs(Place(), MATERIALS["tin"], diameter=0.08, height=0.1, rim=0.01, sway=Sway()):
        assert air.flux[TABLE_BELOW] == 0.0
        assert np.all(np.diff(air.flux[TABLE_BELOW - 20 :]) > 0)


def test_each_circumstance_works_the_right_way() -> None:
    """A draught takes more, neighbours leave less, stone takes more than wood."""
    calm = fluxes(Place())
    assert np.all(fluxes(Place(draught=2.0))[[0, 2]] > calm[[0, 2]])
    assert fluxes(Place(gap=0.01))[0] < fluxes(Place(gap=0.05))[0] < calm[0]
    assert fluxes(Place(stand=Stand.STONE))[1] > calm[1]
    assert fluxes(Place(), Sway(side=1.2))[0] > calm[0]
    assert crowding(None) == 1.0
    bright = replace(MATERIALS["glass"], emissivity=0.1)
    dull = airs(Place(), bright, diameter=0.08, height=0.1, rim=0.012, sway=Sway())
    assert dull[0].flux[TABLE_BELOW + 30] < calm[0]


def test_an_impossible_place_is_refused_with_every_reason() -> None:
    """An oven, a negative gap and no air at all: three problems."""
    with pytest.raises(BadInput) as refused:
        Place(room=500.0, gap=-1.0, draught=0.0).check()
    assert len(refused.value.problems) == 3


def test_the_draws_fill_their_ranges_evenly_and_never_change() -> None:
    """A Latin design: in each column every slice is drawn once, the same each time."""
    rows = latin(8, 3)
    np.testing.assert_allclose(np.sort(rows, axis=0)[:, 0], (np.arange(8) + 0.5) / 8)
    np.testing.assert_array_equal(rows, latin(8, 3))
    latent = [d.latent for d in doubts(9)]
    low, high = RANGES["latent"]
    assert low <= min(latent) < 0.9
    assert 1.1 < max(latent) <= high
    assert doubts(0) == ()


def test_a_spread_is_carried_over_from_the_coarse_grid() -> None:
    """Percentiles of the members, scaled to the fine grid; what never came about is counted."""
    members = np.array([8.0, 9.0, 10.0, 11.0, np.nan])
    found = spread(20.0, 10.0, members)
    assert found.low == pytest.approx(2 * 8.3)
    assert found.high == pytest.approx(2 * 10.7)
    assert found.share == pytest.approx(0.8)
    assert spread(5.0, 5.0, np.array([])).low == 5.0

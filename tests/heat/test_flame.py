"""The flame and its wick."""

from itertools import pairwise

import numpy as np
import pytest

from rushlight.heat.flame import (
    AT_FOOT,
    BENEATH,
    BOILS,
    CORE,
    FIBRE,
    GRAMS_PER_HOUR,
    STANDS,
    conducted,
    flame,
)


def by_differences(rate: float, heat: float, path: float, cells: int = 4000) -> float:
    """Return what flows out at the foot [W]: a wick cut in cells, upwind, solved at once."""
    step = STANDS / cells
    g, carried = path / step, rate * heat
    # carried by the rising wax from the foot (cell 0) to the top; twice g at the held ends
    low = np.full(cells, -(g + carried))
    high = np.full(cells, -g)
    middle = np.full(cells, 2 * g + carried)
    middle[[0, -1]] += g
    right = np.zeros(cells)
    right[0] += (2 * g + carried) * AT_FOOT
    right[-1] += 2 * g * BOILS
    from scipy.linalg import solve_banded

    banded = np.stack([np.r_[0.0, high[:-1]], middle, np.r_[low[1:], 0.0]])
    wick = solve_banded((1, 1), banded, right)
    return float(2 * g * (wick[0] - AT_FOOT))


@pytest.mark.parametrize("grams", [1.0, 4.0, 10.0])
def test_what_a_metal_core_conducts_is_the_solution_of_its_equation(grams: float) -> None:
    """Within 1 % of a wick cut into 4000 cells: an independent way to the same heat."""
    rate, heat = grams * GRAMS_PER_HOUR, 2200.0
    found = conducted(rate, heat, "zinc")
    assert found == pytest.approx(by_differences(rate, heat, FIBRE + CORE), rel=0.01)


def test_a_fibre_wick_conducts_nothing_to_speak_of() -> None:
    """The wax that rises carries it back up: under a hundredth of the gas beneath the flame."""
    assert conducted(3 * GRAMS_PER_HOUR, 2200.0, "cotton") < 0.01 * BENEATH
    assert conducted(5 * GRAMS_PER_HOUR, 2200.0, "none") < 1e-3


def test_a_metal_core_conducts_about_a_watt_and_less_the_more_wax_rises() -> None:
    """Between nothing and still wax's k A ΔT / ℓ, its limit."""
    found = [conducted(g * GRAMS_PER_HOUR, 2200.0, "metal") for g in (1e-6, 2.0, 5.0, 10.0)]
    assert found[0] == pytest.approx((FIBRE + CORE) * (BOILS - AT_FOOT) / STANDS, rel=1e-4)
    assert all(less < more for more, less in pairwise(found))
    assert 0.5 < found[2] < 1.5
    assert conducted(0.0, 2200.0, "metal") == 0.0


def test_heat_down_the_wick_stands_beside_that_of_the_gas() -> None:
    """It is added to it, not multiplied by the doubt of it."""
    lit = flame(5 * GRAMS_PER_HOUR, 43.5e6, beneath=0.5, conducted=0.9)
    assert lit.beneath == pytest.approx(0.5 * BENEATH + 0.9)

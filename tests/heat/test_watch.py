"""Forecasts that tell how far they are, and stop when asked to."""

import time
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from rushlight.candle.profile import straight
from rushlight.heat import box_burn, burn
from rushlight.heat import set as setting
from rushlight.heat.burn_run import Burning
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.setting import Setting
from rushlight.heat.watch import Stopped
from rushlight.heat.waxes import SOY
from rushlight.heat.wick_window import wick_window, window_runs
from rushlight.quantity.si import Metre

WITHIN = 2.0  # from the question to the end of the work [s]
PROFILE = straight(depth=Metre(0.09), diameter=Metre(0.075))
POURED = Setting(
    profile=PROFILE,
    fill=0.078,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    pour=ZERO + 72,
    vessel=ZERO + 21,
)
LIT = Burning(
    profile=PROFILE,
    fill=0.075,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    density=900.0,
    rate=5 * GRAMS_PER_HOUR,
)
RATES = (2.0, 4.0, 6.0)
WORKS: dict[str, tuple[Callable[..., Any], int]] = {
    "setting": (
        lambda **how: setting.forecast(POURED, members=2, cell=setting.COARSE, **how),
        setting.runs(2),
    ),
    "burn": (lambda **how: burn.forecast(LIT, members=2, **how), 3),
    "burn of two wicks": (
        lambda **how: box_burn.forecast(LIT, members=1, cell=0.006, seconds=3600.0, **how),
        3,
    ),
    "life": (lambda **how: burn.life(LIT, **how), 13),
    "window": (
        lambda **how: wick_window(LIT, members=1, rates=RATES, **how),
        window_runs(1, RATES),
    ),
}


@pytest.mark.parametrize("name", WORKS)
def test_every_part_is_told(name: str) -> None:
    """One, two, three … up to what was said beforehand."""
    work, parts = WORKS[name]
    told: list[int] = []
    work(progress=told.append)
    assert told == list(range(1, parts + 1))


@pytest.mark.parametrize("name", WORKS)
def test_work_ends_soon_after_it_is_asked_to(name: str) -> None:
    """No part but the one begun is done; no two looks are as much as two seconds apart."""
    work, _ = WORKS[name]
    told: list[int] = []
    with pytest.raises(Stopped):
        work(progress=told.append, stop=lambda: len(told) == 2)
    assert told == [1, 2]
    looks: list[float] = []

    def look() -> bool:
        looks.append(time.monotonic())
        return len(looks) > 3

    with pytest.raises(Stopped):
        work(stop=look)
    assert max(b - a for a, b in pairwise(looks)) < WITHIN


def test_work_that_was_stopped_beforehand_is_not_begun() -> None:
    """Nothing is computed for nobody."""
    for work, _ in WORKS.values():
        told: list[int] = []
        with pytest.raises(Stopped):
            work(progress=told.append, stop=lambda: True)
        assert told == []

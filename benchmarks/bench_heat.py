"""How long a forecast of setting and of burning takes, once its kernels are compiled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from benchmarks.measure import Row, repeat
from rushlight.candle.profile import straight
from rushlight.heat import burn
from rushlight.heat import set as setting
from rushlight.heat.burn_run import Burning, build, session
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.march import march
from rushlight.heat.setting import Setting, pour
from rushlight.heat.sweep import Case, sweep
from rushlight.heat.waxes import SOY
from rushlight.heat.wick_window import wick_window
from rushlight.quantity.si import Metre
from rushlight.workshop.sweep_engine import engine

JAR = straight(depth=Metre(0.09), diameter=Metre(0.077))
POURED = Setting(
    profile=JAR,
    fill=0.077,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    pour=ZERO + 72,
    vessel=ZERO + 21,
)
LIT = Burning(
    profile=JAR,
    fill=0.075,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    density=900.0,
    rate=5 * GRAMS_PER_HOUR,
)
SWEPT = 60
LINEAR = 0.85  # of twice the speed on two processes: what we call near-linear


def rows() -> Iterator[Row]:
    """Yield the measured rows; budgets are the guides this model was written to."""
    poured = pour(POURED, columns=35, rows=70)
    clock = np.arange(240.0, 8 * 3600 + 1, 240.0)
    taken = repeat(lambda: march(poured.parts, poured.state, clock), times=20)
    yield Row("8 h of setting, 35 × 70 rings in a glass", taken, "best", 0.060)
    yield Row("the same with its answers", repeat(lambda: setting.once(POURED), times=10), "best")
    taken = repeat(lambda: setting.forecast(POURED), times=3, warm=1)
    yield Row("the same with its spread", taken, "best")
    taken = repeat(lambda: session(build(LIT), 4 * 3600.0), times=20)
    yield Row("4 h burn, 2 mm rings", taken, "best", 0.040)
    quick = replace(LIT, rate=5.4 * GRAMS_PER_HOUR)  # twelve burns of 4 h
    yield Row("whole life, 12 burns", repeat(lambda: burn.life(quick), times=3), "best", 0.5)
    window = repeat(lambda: wick_window(LIT), times=2, warm=0)
    yield Row("wick window with its spread", window, "best")
    yield from _sweeps()


def _sweeps() -> Iterator[Row]:
    """Yield a sweep on one process and on two, the processes started and warm.

    Turn and turn about, so that whatever else the machine does falls on both alike.
    """
    pours = ZERO + np.linspace(60.0, 90.0, SWEPT)
    cases = [Case(str(n), replace(POURED, pour=float(t))) for n, t in enumerate(pours)]
    alone: list[float] = []
    together: list[float] = []
    with engine(workers=1) as one, engine(workers=2) as two:
        for executor in (one, two):
            sweep(cases, executor=executor)
        for _ in range(10):
            alone += repeat(lambda: sweep(cases, executor=one), times=1, warm=0)
            together += repeat(lambda: sweep(cases, executor=two), times=1, warm=0)
    budget = min(alone) / (2 * LINEAR)
    yield Row(f"sweep of {SWEPT} settings, one process", tuple(alone), "best")
    yield Row("the same on two processes", tuple(together), "best", budget)

"""How long the three-dimensional model takes, once its kernels are compiled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from benchmarks.measure import Row, repeat
from rushlight.candle.profile import straight
from rushlight.heat import box_burn, box_set
from rushlight.heat.box_plan import ROUND, oval
from rushlight.heat.burn_run import Burning
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.setting import Setting
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre

JAR = straight(depth=Metre(0.09), diameter=Metre(0.1))
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
    rate=4 * GRAMS_PER_HOUR,
)


def rows() -> Iterator[Row]:
    """Yield the measured rows; the budget is the guide this model was written to."""
    taken = repeat(lambda: box_burn.once(LIT, ROUND, wicks=2), times=5, warm=1)
    yield Row("3-D: 4 h burn of two wicks, 4 mm cells", taken, "best", 5.0)
    tin = replace(LIT, material="tin", wall=0.0004, base=0.0004)
    taken = repeat(lambda: box_burn.once(tin, oval(0.6), wicks=3), times=3, warm=1)
    yield Row("3-D: 4 h burn of three wicks in an oval tin", taken, "best")
    taken = repeat(lambda: box_set.once(POURED, ROUND), times=5, warm=1)
    yield Row("3-D: setting with its answers, 4 mm cells", taken, "best")

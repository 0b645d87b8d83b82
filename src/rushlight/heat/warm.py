"""Compile the kernels ahead of the first question, in the background.

The first compilation on a machine takes some tens of seconds and is kept on
disc; later starts only load it.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from typing import TYPE_CHECKING

from rushlight.candle.profile import straight
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre

if TYPE_CHECKING:
    from rushlight.heat.burn_run import Burning
    from rushlight.heat.setting import Setting


CELL, BOX_CELL = 0.005, 0.011  # as coarse as the grids go [m]


def warm() -> Thread:
    """Run one small setting and one small burn of a round jar, so that they are compiled.

    Those of boxes and of several wicks take longer and are asked for less: they follow
    on the daemon thread returned, and nothing need wait for it.
    """
    from rushlight.heat.burn_run import build, session
    from rushlight.heat.set import once

    once(_poured(), cell=CELL)
    session(build(_lit(), cell=CELL), 60.0, every=60.0)
    return _started(warm_boxes)


def warm_boxes() -> None:
    """Run one small setting and one small burn in a box of cells."""
    from rushlight.heat.box_burn_run import build, session
    from rushlight.heat.box_plan import ROUND
    from rushlight.heat.box_set import once

    once(_poured(), ROUND, cell=BOX_CELL)
    session(build(_lit(), ROUND, ((0.0, 0.0),), cell=BOX_CELL), 60.0, every=60.0)


def warm_in_background() -> Thread:
    """Do all that on a daemon thread and return it; nothing waits for it."""
    return _started(lambda: warm().join())


def _started(work: Callable[[], None]) -> Thread:
    thread = Thread(target=work, name="rushlight-warm", daemon=True)
    thread.start()
    return thread


def _poured() -> Setting:
    from rushlight.heat.setting import Setting

    return Setting(
        profile=straight(depth=Metre(0.05), diameter=Metre(0.05)),
        fill=0.04,
        wall=0.003,
        base=0.005,
        material="glass",
        wax=SOY,
        pour=ZERO + 70,
        vessel=ZERO + 21,
    )


def _lit() -> Burning:
    from rushlight.heat.burn_run import Burning

    return Burning(
        profile=straight(depth=Metre(0.05), diameter=Metre(0.05)),
        fill=0.04,
        wall=0.003,
        base=0.005,
        material="glass",
        wax=SOY,
        density=900.0,
        rate=4 * GRAMS_PER_HOUR,
    )

"""Compile the kernels ahead of the first question, in the background.

The first compilation on a machine takes some tens of seconds and is kept on
disc; later starts only load it.
"""

from __future__ import annotations

from threading import Thread

from rushlight.candle.profile import straight
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre


def warm() -> None:
    """Run one small setting and one small burn, so that every kernel is compiled."""
    from rushlight.heat.burn_run import Burning, build, session
    from rushlight.heat.set import once
    from rushlight.heat.setting import Setting

    jar = straight(depth=Metre(0.05), diameter=Metre(0.05))
    once(
        Setting(
            profile=jar,
            fill=0.04,
            wall=0.003,
            base=0.005,
            material="glass",
            wax=SOY,
            pour=ZERO + 70,
            vessel=ZERO + 21,
        ),
        cell=0.005,
    )
    candle = build(
        Burning(
            profile=jar,
            fill=0.04,
            wall=0.003,
            base=0.005,
            material="glass",
            wax=SOY,
            density=900.0,
            rate=4 * GRAMS_PER_HOUR,
        ),
        cell=0.005,
    )
    session(candle, 60.0, every=60.0)


def warm_in_background() -> Thread:
    """Start `warm` on a daemon thread and return it; nothing waits for it."""
    thread = Thread(target=warm, name="rushlight-warm", daemon=True)
    thread.start()
    return thread

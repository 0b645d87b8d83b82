"""Keep full collections of garbage short, so that no page stops for one.

What stands once the program is up (modules, compiled kernels, templates) stays until it ends. To
look through it all again at every full collection would stop one page in ten or twenty for
some 150 ms; frozen, it is left alone.
"""

from __future__ import annotations

import gc
from threading import Thread
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rushlight.workshop.stove import Stove


def settle() -> None:
    """Leave alone, from now on, all that stands now."""
    gc.collect()
    gc.freeze()


def settle_when_warm(stove: Stove) -> None:
    """Settle now, and again once the kernels are warm; it waits for nothing."""

    def later() -> None:
        stove.warmed.wait()
        settle()

    settle()
    Thread(target=later, name="rushlight-settle", daemon=True).start()

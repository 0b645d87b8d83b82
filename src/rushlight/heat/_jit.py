"""The one place that touches numba: a typed decorator with our flags.

Import this module only from kernels, and kernels only inside functions: numba
takes half a second to import, and nothing is compiled before it is called.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, TypeVar, cast

import numba

P = ParamSpec("P")
R = TypeVar("R")


def jit(function: Callable[P, R]) -> Callable[P, R]:
    """Return the function compiled at its first call, and cached on disc.

    Products and sums may be fused, and the sign of zero is of no account;
    nothing else about arithmetic is loosened. It runs without the interpreter's lock, so
    that a page is still served while it computes, and threads share the cores.
    """
    compiled = numba.njit(cache=True, nogil=True, fastmath={"contract", "nsz"})(function)
    return cast("Callable[P, R]", compiled)

"""Candles a second on a graphics card, beside one core and two processes of this machine.

    python benchmarks/cuda_setting.py     # needs a card that numba's CUDA target knows

Eight hours of setting on 17 × 35 rings, the grid of a sweep, with eight output times; pour
temperature and room differ from candle to candle. Times are whole calls, copies included,
after one warm-up; beside them the kernel alone, with everything already on the card.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from rushlight.heat.setting import Poured, Setting

ROOT = Path(__file__).resolve().parents[1]
DISTINCT = 48
TIMES = 3600.0 * np.arange(1.0, 9.0)


def setting(n: int) -> Setting:
    """Return a jar a little different from the others."""
    from rushlight.candle.profile import straight
    from rushlight.heat.enthalpy import ZERO
    from rushlight.heat.setting import Setting
    from rushlight.heat.surroundings import Place
    from rushlight.heat.waxes import PARAFFIN, SOY
    from rushlight.quantity.si import Metre

    return Setting(
        profile=straight(depth=Metre(0.09), diameter=Metre(0.075)),
        fill=0.078,
        wall=0.003,
        base=0.006,
        material="glass",
        wax=SOY if n % 2 else PARAFFIN,
        pour=ZERO + 70 + 0.5 * (n % 24),
        vessel=ZERO + 21,
        place=Place(room=ZERO + 18 + n % 7),
    )


def candles(count: int) -> list[Poured]:
    """Return poured jars, each a little different."""
    from rushlight.heat.setting import pour

    made = [pour(setting(n), columns=17, rows=35) for n in range(min(count, DISTINCT))]
    return [made[n % len(made)] for n in range(count)]


def one(count: int) -> float:
    """March so many candles on this core after a warm-up; return the seconds it took."""
    from rushlight.heat.march import march

    ready = candles(count)
    march(ready[0].parts, ready[0].state, TIMES)
    begun = time.perf_counter()
    for p in ready:
        march(p.parts, p.state, TIMES)
    return time.perf_counter() - begun


def whole_sweep(count: int) -> tuple[float, float]:
    """Return the seconds of a sweep with its answers, on the card and on one core."""
    from rushlight.heat.cuda_sweep import sweep
    from rushlight.heat.sweep import Case, work

    cases = [Case(str(n), setting(n)) for n in range(count)]
    sweep(cases[:4])
    work(cases[0])
    begun = time.perf_counter()
    rows = sweep(cases)
    between = time.perf_counter()
    known = [work(case) for case in cases]
    ended = time.perf_counter()
    far = max(
        abs(float(ours["whole"]) / float(theirs["whole"]) - 1.0)
        for ours, theirs in zip(rows, known, strict=True)
    )
    print(f"sweep of {count}: time to set differs by {far:.1e} at most")
    return between - begun, ended - between


def _shortest(action: Callable[[], object], times: int = 5) -> float:
    action()
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        action()
        taken.append(time.perf_counter() - begun)
    return min(taken)


def on_card(count: int) -> tuple[float, float]:
    """Return the seconds of a whole call and of the kernel alone, and check both results."""
    from rushlight.heat import kernel_cuda
    from rushlight.heat.cuda_march import march_many
    from rushlight.heat.cuda_pack import Pack, pack
    from rushlight.heat.march import Pace, march

    cuda: Any = import_module("numba.cuda")
    ready = candles(count)
    parts, states = [p.parts for p in ready], [p.state for p in ready]
    found = march_many(parts, states, TIMES)
    far = max(
        float(np.abs(f.frames - march(p.parts, p.state, TIMES).frames).max())
        for f, p in zip(found[:DISTINCT], ready, strict=False)
    )
    print(f"{count} candles: largest difference from the processor {far:.1e} J/kg or K")
    whole = _shortest(lambda: march_many(parts, states, TIMES), 3)
    host = pack(parts)
    q: Any = Pack(*(cuda.to_device(a) for a in host))
    base = np.array(states)
    held = cuda.to_device(np.zeros((count, 7, int(host.size[:, 3:].max()))))
    frames = cuda.to_device(np.zeros((count, len(TIMES), base.shape[1])))
    counts = cuda.to_device(np.zeros(count, dtype=np.int64))
    clock, pace, begin = cuda.to_device(TIMES), Pace(), cuda.to_device(base)
    state = cuda.device_array_like(begin)

    run: Any = kernel_cuda.march

    def kernel() -> None:
        state.copy_to_device(begin)
        run[count, kernel_cuda.THREADS](
            state, clock, q, held, pace.least, pace.growth, pace.most, frames, counts
        )
        cuda.synchronize()

    return whole, _shortest(kernel)


def main() -> int:
    """Print candles a second."""
    sys.path[:0] = [str(ROOT), str(ROOT / "src")]
    from rushlight.heat.cuda_march import available

    alone = 48 / min(one(48) for _ in range(3))
    print(f"one core: {alone:.0f} candles a second")
    with ProcessPoolExecutor(2, mp_context=get_context("fork")) as pool:
        two = 2 * 96 / min(max(pool.map(one, [96, 96])) for _ in range(3))
    print(f"two processes: {two:.0f} candles a second")
    if not available():
        print("No card here that numba's CUDA target knows.")
        return 0
    for count in (1, 132, 528, 2112):
        whole, kernel = on_card(count)
        print(
            f"{count} at once: {count / whole:.0f} candles a second, copies and books included; "
            f"{count / kernel:.0f} in the kernel ({1e3 * kernel:.1f} ms)"
        )
    card, core = whole_sweep(264)
    print(
        f"a sweep with its answers: {264 / card:.0f} candles a second with the card, "
        f"{264 / core:.0f} on one core"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())

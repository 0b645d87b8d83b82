"""Eight hours of setting on 35 × 70 cells, beside three general-purpose solvers.

    python benchmarks/compare_setting.py           # needs benchmarks/requirements-compare.txt
    python benchmarks/compare_setting.py --ours    # ours alone, with its roofline
    python benchmarks/compare_setting.py --write   # and into docs/assets/compare.md

The problem is in `benchmarks/compare/problem.py`. Times are whole function calls after one
warm-up, best of several, in one process on one core. The ratio is of processor time, so that
other work on the machine weighs on none of them; errors are those against our own finest
grid, carried to vanishing cells, to which the other methods come as well.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

ROOT = Path(__file__).resolve().parents[1]
REPORT = ROOT / "docs" / "assets" / "compare.md"

if TYPE_CHECKING:
    from benchmarks.compare.problem import Array


@dataclass(frozen=True, slots=True)
class Entry:
    """A solver: what it is called, the package it needs, how to run it, how often."""

    name: str
    needs: str
    run: Callable[[], Array]
    times: int


def entries() -> list[Entry]:
    """Return the solvers in the order of the table, ours first."""
    from benchmarks.compare import ours, with_fipy, with_pypde, with_skfem
    from rushlight.heat.march import Engine, Pace

    small = Pace(2.0, 0.0, 2.0)
    return [
        Entry("Rushlight, super-time-stepping", "numba", lambda: ours.solve()[0], 30),
        Entry("Rushlight, explicit 2 s steps", "numba", lambda: ours.solve(pace=small)[0], 3),
        Entry("Rushlight, NumPy twin", "numpy", lambda: ours.solve(engine=Engine.NUMPY)[0], 3),
        Entry("py-pde, explicit 2.5 s steps, `solve`", "pde", with_pypde.solve, 2),
        Entry("py-pde, the same, compiled once and kept", "pde", with_pypde.prepared(), 5),
        Entry("scikit-fem, implicit 60 s steps, Newton", "skfem", with_skfem.solve, 1),
        Entry(
            "FiPy, implicit 60 s steps, 2 sweeps, its fastest linear solver",
            "fipy",
            lambda: with_fipy.solve(sweeps=2, solver="LinearPCGSolver"),
            1,
        ),
        Entry("FiPy, implicit 60 s steps, 5 sweeps", "fipy", with_fipy.solve, 1),
    ]


def spent(entry: Entry) -> tuple[Array, float, float]:
    """Return the answer and the shortest of several runs: by the clock and by the processor [s].

    One run more goes before, uncounted, where there is something to compile.
    """
    found = entry.run() if entry.times > 1 else None
    clock, processor = float("inf"), float("inf")
    for _ in range(entry.times):
        begun, used = time.perf_counter(), time.process_time()
        found = entry.run()
        clock = min(clock, time.perf_counter() - begun)
        processor = min(processor, time.process_time() - used)
    assert found is not None
    return found, clock, processor


def table(chosen: list[Entry]) -> tuple[list[str], float]:
    """Run the solvers; return the table, and the processor time of the first [s]."""
    from benchmarks.compare.ours import reference
    from benchmarks.compare.problem import error

    exact = reference()
    rows = [
        "| solver | best, ms | processor, ms | × ours | time to set | middle, K rms |",
        "|---|--:|--:|--:|--:|--:|",
    ]
    mine = 0.0
    for entry in chosen:
        if find_spec(entry.needs) is None:
            print(f"{entry.name}: {entry.needs} is not installed; see requirements-compare.txt")
            continue
        found, clock, processor = spent(entry)
        far = error(found, exact)
        mine = mine or processor
        rows.append(
            f"| {entry.name} | {1e3 * clock:,.1f} | {1e3 * processor:,.1f} "
            f"| {processor / mine:,.1f} | {far.late:+.2%} | {far.off:.2f} |"
        )
        print(rows[-1], flush=True)
    return rows, mine


def roofline(seconds: float) -> list[str]:
    """Return how far our kernel is from what the core can do, as sentences."""
    from benchmarks.compare import ours, roofline
    from benchmarks.compare.problem import COLUMNS, ROWS

    here = roofline.core()
    _, stages = ours.solve()
    seen = roofline.told(stages * COLUMNS * ROWS / seconds, here)
    core = (
        f"The core, measured: triad {here.first / 1e9:.0f} GB/s from the first-level cache, "
        f"{here.second / 1e9:.0f} GB/s from the second, {here.memory / 1e9:.0f} GB/s from memory; "
        f"{here.flops / 1e9:.0f} GFLOP/s of fused multiply–add."
    )
    kernel = (
        f"The kernel: {stages} stages of {COLUMNS} × {ROWS} rings, "
        f"{seen['updates'] / 1e6:.0f} million ring updates a second over the whole call. "
        f"Each moves {roofline.MOVED} numbers and does {roofline.DONE} products and sums: "
        f"{seen['bytes'] / 1e9:.0f} GB/s and {seen['flops'] / 1e9:.1f} GFLOP/s. Its state "
        f"(290 kB) lives in the second-level cache, and the {seen['bound']} sets the roof, "
        f"{seen['roof'] / 1e6:.0f} million updates a second: the kernel reaches "
        f"{seen['share']:.0%} of it."
    )
    return [core, "", kernel]


def main() -> int:
    """Print the table and the roofline."""
    for name in ("OMP", "OPENBLAS", "MKL"):
        os.environ[f"{name}_NUM_THREADS"] = "1"  # one core for each, as for ours
    sys.path[:0] = [str(ROOT), str(ROOT / "src")]
    from benchmarks.measure import machine

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--ours", action="store_true", help="leave the other solvers out")
    parser.add_argument("--write", action="store_true", help=f"write {REPORT.name} as well")
    asked = parser.parse_args()
    sys.argv[1:] = []  # FiPy reads the command line for itself
    about = f"Measured on: {machine()}; load {os.getloadavg()[0]:.1f} over the minute before."
    print(about)
    rows, seconds = table([e for e in entries() if not asked.ours or e.needs in {"numba", "numpy"}])
    told = roofline(seconds)
    print("\n".join(told))
    if asked.write:
        REPORT.write_text("\n".join([about, "", *rows, "", *told, ""]), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())

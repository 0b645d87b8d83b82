"""Time things, and say the result in one row of a table with its budget beside it."""

import os
import platform
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Row:
    """One measured thing: its times [s], and the budget [s] for one figure of them."""

    what: str
    times: tuple[float, ...]
    figure: str  # "best", "median" or "p95": the one that the budget is for
    budget: float | None = None

    @property
    def best(self) -> float:
        """Return the shortest time [s]."""
        return min(self.times)

    @property
    def median(self) -> float:
        """Return the time [s] that half of the repetitions stayed within."""
        return quantile(self.times, 0.5)

    @property
    def p95(self) -> float:
        """Return the time [s] that 95 % of the repetitions stayed within."""
        return quantile(self.times, 0.95)

    @property
    def met(self) -> bool | None:
        """Say whether the budget is met; None where there is none."""
        if self.budget is None:
            return None
        return {"best": self.best, "median": self.median, "p95": self.p95}[
            self.figure
        ] < self.budget


def quantile(times: Sequence[float], share: float) -> float:
    """Return the smallest time that at least this share of the times do not exceed."""
    ordered = sorted(times)
    return ordered[max(0, -(-len(ordered) * round(share * 100) // 100) - 1)]


def repeat(action: Callable[[], object], *, times: int = 50, warm: int = 3) -> tuple[float, ...]:
    """Do the action so many times after a few to warm up; return each duration [s]."""
    for _ in range(warm):
        action()
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        action()
        taken.append(time.perf_counter() - begun)
    return tuple(taken)


def process(*command: str | Path, times: int = 10) -> tuple[float, ...]:
    """Run a command so many times, whole processes, as a user would start them."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return repeat(
        lambda: subprocess.run(command, env=env, check=True, stdout=subprocess.DEVNULL),
        times=times,
    )


def machine() -> str:
    """Name the machine in one line: processor, cores, system, Python, version of Rushlight."""
    name = platform.processor() or platform.machine()
    about = Path("/proc/cpuinfo")
    if about.exists():
        named = [line for line in about.read_text("utf-8").splitlines() if "model name" in line]
        name = named[0].partition(":")[2].strip() if named else name
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    try:
        ours = version("rushlight")
    except PackageNotFoundError:  # the comparison runs from the checkout, beside other solvers
        ours = "from the checkout"
    return (
        f"{name}, {cores} cores, {platform.system()}, "
        f"Python {platform.python_version()}, Rushlight {ours}"
    )


def table(rows: Sequence[Row]) -> str:
    """Write the rows as a Markdown table, times in milliseconds."""
    lines = [
        "| what | repetitions | best, ms | median, ms | p95, ms | budget | met |",
        "|---|--:|--:|--:|--:|---|---|",
    ]
    for row in rows:
        budget = "none" if row.budget is None else f"{row.figure} < {row.budget * 1e3:g} ms"
        met = {None: "", True: "yes", False: "**no**"}[row.met]
        figures = " | ".join(f"{t * 1e3:.3g}" for t in (row.best, row.median, row.p95))
        lines.append(f"| {row.what} | {len(row.times)} | {figures} | {budget} | {met} |")
    return "\n".join(lines)

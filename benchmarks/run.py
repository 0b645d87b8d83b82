"""`make bench`: run every benchmark, print the table and write it into the documentation.

A benchmark is a module `benchmarks/bench_*.py` with a function `rows()` that yields `Row`s.
"""

import importlib
import sys
from pathlib import Path

from benchmarks.measure import Row, machine, table

HERE = Path(__file__).parent
REPORT = HERE.parent / "docs" / "assets" / "bench.md"


def main() -> int:
    """Run the benchmarks named on the command line, or all; 1 when a budget is missed."""
    names = sys.argv[1:] or [file.stem for file in sorted(HERE.glob("bench_*.py"))]
    rows: list[Row] = []
    for name in names:
        for row in importlib.import_module(f"benchmarks.{name}").rows():
            print(table([row]).splitlines()[-1], flush=True)
            rows.append(row)
    if not sys.argv[1:]:
        REPORT.write_text(f"Measured on: {machine()}.\n\n{table(rows)}\n", encoding="utf-8")
        print(f"written to {REPORT.relative_to(HERE.parent)}")
    return int(any(row.met is False for row in rows))


if __name__ == "__main__":
    sys.exit(main())

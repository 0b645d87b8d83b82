"""Run by test_cuda.py in a process of its own, with numba's CUDA simulator switched on."""

import json
import sys

import numpy as np

from rushlight.candle.profile import straight, tapered
from rushlight.heat.cuda_march import available, march_many
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.march import march
from rushlight.heat.setting import Setting, pour
from rushlight.heat.waxes import PARAFFIN, SOY
from rushlight.quantity.si import Metre


def main() -> int:
    """Print how far two candles on the simulated card are from the processor's."""
    jars = [
        pour(
            Setting(
                profile=profile,
                fill=0.05,
                wall=0.003,
                base=0.006,
                material="glass",
                wax=wax,
                pour=ZERO + 74,
                vessel=ZERO + 21,
            ),
            columns=columns,
            rows=rows,
        )
        for profile, wax, columns, rows in (
            (straight(depth=Metre(0.06), diameter=Metre(0.06)), SOY, 4, 5),
            (
                tapered(depth=Metre(0.07), base_diameter=Metre(0.05), diameter=Metre(0.06)),
                PARAFFIN,
                5,
                6,
            ),
        )
    ]
    times = np.array([5.0, 25.0])
    found = march_many([j.parts for j in jars], [j.state for j in jars], times, threads=8)
    known = [march(j.parts, j.state, times) for j in jars]
    told = {
        "available": available(),
        "stages": [[f.stages, k.stages] for f, k in zip(found, known, strict=True)],
        "books": max(f.books for f in found),
        "moved": min(
            float(np.abs(f.frames[-1] - j.state).max()) for f, j in zip(found, jars, strict=True)
        ),
        "apart": max(
            float((np.abs(f.frames - k.frames) / (1.0 + np.abs(k.frames))).max())
            for f, k in zip(found, known, strict=True)
        ),
    }
    sys.stdout.write(json.dumps(told))
    return 0


if __name__ == "__main__":
    sys.exit(main())

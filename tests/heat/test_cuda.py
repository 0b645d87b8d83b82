"""Many candles on a graphics card, here its simulator."""

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rushlight.candle.profile import straight
from rushlight.errors import BadInput
from rushlight.heat import sweep
from rushlight.heat.burn_run import Burning
from rushlight.heat.cuda_pack import ROOM, pack
from rushlight.heat.cuda_sweep import sweep as sweep_on_card
from rushlight.heat.enthalpy import ZERO, Array
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.march import March, march
from rushlight.heat.setting import Setting, pour
from rushlight.heat.sweep import Case
from rushlight.heat.system import Parts
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre

JAR = Setting(
    profile=straight(depth=Metre(0.06), diameter=Metre(0.055)),
    fill=0.05,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    pour=ZERO + 72,
    vessel=ZERO + 21,
)
LIT = Burning(
    profile=JAR.profile,
    fill=0.05,
    wall=0.003,
    base=0.006,
    material="glass",
    wax=SOY,
    density=900.0,
    rate=3.0 * GRAMS_PER_HOUR,
)


def test_the_card_gives_what_the_processor_gives() -> None:
    """Two candles of different size at once on the simulator: equal to 1e-10, books closed."""
    script = Path(__file__).with_name("cuda_simulated.py")
    done = subprocess.run(
        [sys.executable, "-W", "ignore", str(script)],
        env={**os.environ, "NUMBA_ENABLE_CUDASIM": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    told = json.loads(done.stdout)
    assert told["available"]
    assert all(card == processor for card, processor in told["stages"])
    assert told["books"] < 1e-9
    assert told["moved"] > 1.0
    assert told["apart"] < 1e-10


def one_by_one(candles: Sequence[Parts], states: Sequence[Array], times: Array) -> Sequence[March]:
    """March on the processor what would go to the card."""
    return [march(p, state, times) for p, state in zip(candles, states, strict=True)]


def test_a_sweep_on_the_card_gives_the_rows_of_any_sweep() -> None:
    """Settings, a burn, a jar too large for a block and one that cannot be: row by row."""
    wide = straight(depth=Metre(0.12), diameter=Metre(0.12))
    cases = [
        Case("as it is", JAR),
        Case("hotter", replace(JAR, pour=ZERO + 85)),
        Case("lit", LIT),
        Case("too large", replace(JAR, profile=wide, fill=0.1)),
        Case("too cold to pour", replace(JAR, pour=ZERO + 20)),
    ]
    seen: list[int] = []
    found = sweep_on_card(cases, progress=seen.append, batch=2, marcher=one_by_one)
    with ThreadPoolExecutor(1) as executor:
        known = sweep.sweep(cases, executor=executor)
    assert seen == [2, 4, 5]
    assert [row["case"] for row in found] == [case.name for case in cases]
    assert found[4]["problem"]
    for ours, theirs in zip(found, known, strict=True):
        assert ours.keys() == theirs.keys()
        for key, value in theirs.items():
            if isinstance(value, float):
                assert ours[key] == pytest.approx(value, rel=1e-9, nan_ok=True), key
            else:
                assert ours[key] == value


def test_a_stopped_sweep_gives_the_rows_so_far() -> None:
    """Asked before each batch; what is done is kept."""
    cases = [Case(str(n), replace(JAR, pour=ZERO + 70 + n)) for n in range(4)]
    done: list[int] = []
    rows = sweep_on_card(
        cases, progress=done.append, stop=lambda: bool(done), batch=2, marcher=one_by_one
    )
    assert [row["case"] for row in rows] == ["0", "1"]


def test_a_candle_too_large_for_a_block_is_refused() -> None:
    """The refusal says how large it is, how much room there is, and what to do."""
    fine = pour(JAR, columns=30, rows=60)
    with pytest.raises(BadInput, match=str(ROOM)):
        pack([fine.parts])


def test_candles_of_different_size_lie_side_by_side() -> None:
    """Nothing of a small candle is lost beside a larger one, and the rest is nothing."""
    small, large = pour(JAR, columns=5, rows=8), pour(JAR, columns=9, rows=14)
    q = pack([small.parts, large.parts])
    cells = small.parts.cells
    np.testing.assert_array_equal(q.cell[0, 2, :cells], small.parts.lightness)
    assert not q.cell[0, :, cells:].any()
    np.testing.assert_array_equal(q.touch_at[1, 0], large.parts.touch_cell)
    assert q.size[0, 0] == cells

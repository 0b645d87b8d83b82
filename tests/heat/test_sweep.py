"""Sweeps over many candles."""

import csv
import io
from concurrent.futures import Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from multiprocessing import get_context

import pytest

from rushlight.candle.profile import straight
from rushlight.heat.burn_run import Burning
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.setting import Setting
from rushlight.heat.sweep import Case, Row, as_csv, sweep, work
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre

JAR = straight(depth=Metre(0.06), diameter=Metre(0.06))
SETTING = Setting(
    profile=JAR,
    fill=0.045,
    wall=0.003,
    base=0.005,
    material="glass",
    wax=SOY,
    pour=ZERO + 70,
    vessel=ZERO + 21,
)
BURNING = Burning(
    profile=JAR,
    fill=0.045,
    wall=0.003,
    base=0.005,
    material="glass",
    wax=SOY,
    density=900.0,
    rate=4 * GRAMS_PER_HOUR,
)
CASES = [
    Case("cool pour", replace(SETTING, pour=ZERO + 60)),
    Case("hot pour", replace(SETTING, pour=ZERO + 85)),
    Case("impossible", replace(SETTING, pour=ZERO + 20)),
    Case("burnt", BURNING),
]


def test_rows_come_back_in_order_with_the_reason_for_what_cannot_be() -> None:
    """A bad case does not stop the others; it says what is wrong and what to do."""
    told: list[int] = []
    with ThreadPoolExecutor(1) as pool:
        rows = sweep(CASES, executor=pool, progress=told.append)
    assert [row["case"] for row in rows] == [case.name for case in CASES]
    assert float(rows[0]["whole"]) < float(rows[1]["whole"])
    assert "does not pour" in str(rows[2]["problem"])
    assert float(rows[3]["pool"]) > 0.03
    assert told[-1] == len(CASES)


@pytest.mark.slow
def test_processes_give_the_same_table_as_one_thread() -> None:
    """The engine does not change the numbers.

    To rounding: a kernel compiled here and the same one loaded from the cache may order the
    sums of a vector differently, and then part in the last bit.
    """
    with ThreadPoolExecutor(1) as pool:
        alone = sweep(CASES, executor=pool)
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as pool:
        together = sweep(CASES, executor=pool)
    assert [row.keys() for row in alone] == [row.keys() for row in together]
    for one, two in zip(alone, together, strict=True):
        for key, value in one.items():
            if isinstance(value, float):
                assert two[key] == pytest.approx(value, rel=1e-12, abs=1e-15)
            else:
                assert two[key] == value


def test_a_sweep_can_be_stopped() -> None:
    """After the stop no further case is begun, and the rows so far come back."""
    done: list[int] = []
    with ThreadPoolExecutor(1) as pool:
        rows = sweep([CASES[0]] * 200, executor=pool, progress=done.append, stop=lambda: bool(done))
    assert 1 <= len(rows) < 30


def test_a_distributed_engine_needs_only_submit() -> None:
    """Anything that is an Executor will do; here one that works at once."""

    class AtOnce(ThreadPoolExecutor):
        def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN002, ANN003, ANN202
            future: Future[Row] = Future()
            future.set_result(fn(*args, **kwargs))
            return future

    assert sweep(CASES[:1], executor=AtOnce(1)) == [work(CASES[0])]


def test_a_table_is_plain_csv() -> None:
    """Every column of every row, also where a case had no figures."""
    text = as_csv([work(CASES[0]), work(CASES[2])])
    rows = list(csv.DictReader(io.StringIO(text)))
    assert rows[0]["case"] == "cool pour"
    assert float(rows[0]["whole"]) > 0
    assert rows[1]["whole"] == ""

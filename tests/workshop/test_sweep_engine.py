"""Where a sweep runs."""

import gc
import os
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from multiprocessing import active_children
from pathlib import Path
from subprocess import run
from textwrap import dedent

import pytest

from rushlight.candle.profile import straight
from rushlight.errors import BadInput
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.setting import Setting
from rushlight.heat.sweep import Case, sweep, work
from rushlight.heat.waxes import SOY
from rushlight.quantity.si import Metre
from rushlight.workshop.sweep_engine import engine

SETTING = Setting(
    profile=straight(depth=Metre(0.06), diameter=Metre(0.06)),
    fill=0.045,
    wall=0.003,
    base=0.005,
    material="glass",
    wax=SOY,
    pour=ZERO + 70,
    vessel=ZERO + 21,
)
CASES = [Case(f"{t} °C", replace(SETTING, pour=ZERO + t)) for t in (60, 70, 20, 80)]


@pytest.fixture(scope="module")
def cluster() -> Iterator[str]:
    """Lend the address of a local cluster with one worker process, its kernels compiled."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, dashboard_address=None, silence_logs=50
    ) as lent:
        with engine(scheduler=lent.scheduler_address) as executor:
            executor.submit(work, CASES[0]).result(timeout=100)
        yield lent.scheduler_address
        lent.close(timeout=10)


@pytest.mark.slow
def test_processes_give_the_table_of_one_thread() -> None:
    """The engine does not change the numbers, nor their order; nothing is left running."""
    before = set(active_children())
    with engine(workers=2) as executor:
        assert sweep(CASES, executor=executor) == [work(case) for case in CASES]
    assert set(active_children()) <= before


@pytest.mark.slow
def test_a_dask_cluster_gives_the_same_table(cluster: str) -> None:
    """Workers of a scheduler: same rows in the same order, a bad case told among them."""
    told: list[int] = []
    with engine(scheduler=cluster) as executor:
        rows = sweep(CASES, executor=executor, progress=told.append)
    assert rows == [work(case) for case in CASES]
    assert "does not pour" in str(rows[2]["problem"])
    assert told[-1] == len(CASES)


@pytest.mark.slow
def test_a_sweep_on_a_cluster_can_be_stopped(cluster: str) -> None:
    """Most of 300 cases are never begun, and the cluster works on for the next."""
    done: list[int] = []
    with engine(scheduler=cluster) as executor:
        many = [Case(str(n), SETTING) for n in range(300)]
        rows = sweep(many, executor=executor, progress=done.append, stop=lambda: bool(done))
    assert 1 <= len(rows) < 150
    with engine(scheduler=cluster) as executor:
        assert sweep(CASES[:1], executor=executor) == [work(CASES[0])]


@pytest.mark.slow
def test_processes_end_within_two_seconds_of_a_stop() -> None:
    """Also those in the midst of something long; the pool's own wait would be 60 s."""
    before = set(active_children())
    with engine(workers=2) as executor:
        for _ in range(2):
            executor.submit(time.sleep, 0.0).result(timeout=30)
        for _ in range(6):
            executor.submit(time.sleep, 60.0)
        time.sleep(0.2)
        begun = time.monotonic()
    assert time.monotonic() - begun < 2.0
    assert set(active_children()) <= before


def test_a_stopped_sweep_does_not_wait_for_a_case_that_takes_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It comes back with what it has; ending the rest is for the engine."""
    from concurrent.futures import ThreadPoolExecutor
    from threading import Event

    over = Event()
    monkeypatch.setattr("rushlight.heat.sweep.work", lambda _: over.wait(20) and {})
    with ThreadPoolExecutor(1) as pool:
        begun = time.monotonic()
        assert sweep(CASES, executor=pool, stop=lambda: True) == []
        assert time.monotonic() - begun < 2.0
        over.set()


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc").is_dir(), reason="looks for the process in /proc")
def test_workers_do_not_outlive_a_parent_that_is_killed(tmp_path: Path) -> None:
    """No process is left behind to keep a core busy."""
    script = tmp_path / "parent.py"
    script.write_text(
        dedent(
            """
            import os, time
            from rushlight.workshop.sweep_engine import engine

            if __name__ == "__main__":
                with engine(workers=1) as executor:
                    print(executor.submit(os.getpid).result(), flush=True)
                    executor.submit(time.sleep, 60)
                    os._exit(0)
            """
        )
    )
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    begun = run([sys.executable, script], env=env, capture_output=True, text=True, check=True)
    worker = Path("/proc") / begun.stdout.strip()
    for _ in range(40):
        if not worker.exists() or "Z" in (worker / "stat").read_text().split(")")[1][:3]:
            return
        time.sleep(0.05)
    pytest.fail("the worker still runs")


def test_an_address_where_nobody_answers_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """So is one that is none, and Dask not being there at all."""
    distributed = pytest.importorskip("distributed")
    monkeypatch.setattr("rushlight.workshop.sweep_engine.ANSWERS", "200ms")
    for address in ("tcp://127.0.0.1:9", "nowhere at all"):
        with pytest.raises(BadInput, match="No Dask scheduler answers"), engine(scheduler=address):
            pass
    left = [thing for thing in gc.get_objects() if isinstance(thing, distributed.Client)]
    assert all(client.status == "closed" for client in left), "one would close at a bad moment"
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BadInput, match="Dask is not installed"), engine(scheduler="tcp://h:1"):
        pass


@pytest.mark.parametrize("workers", [0, -1, 1000])
def test_a_number_of_processes_that_is_none_is_refused(workers: int) -> None:
    """Before any is started."""
    with pytest.raises(BadInput, match="not possible"), engine(workers=workers):
        pass

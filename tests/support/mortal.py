"""A bench in a process of its own, made to be killed with SIGKILL at any moment.

The helper (`python -m tests.support.mortal`) has everything imported and warm; for each order
it forks a bench, so that a life costs milliseconds rather than a start of Python. The bench
says aloud each write that was acknowledged to it, and nothing else.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from rushlight.store.place import create_store, open_store
from tests.support import sharing, steps
from tests.support.tree import ROOT

CLOCK = steps.START


class Mortal:
    """The bench, as a test has it: `begin` something, hear what is done, `kill`."""

    def __init__(self) -> None:
        """Start the helper."""
        self._helper = subprocess.Popen(
            [sys.executable, "-m", "tests.support.mortal"],
            cwd=ROOT,
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            bufsize=1,
        )
        self._pid = 0
        assert self._line() == "ready"

    def __enter__(self) -> Self:
        """Return the bench."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End both."""
        self.kill()
        assert self._helper.stdin is not None
        assert self._helper.stdout is not None
        self._helper.stdin.close()
        self._helper.wait()
        self._helper.stdout.close()

    def begin(self, *order: object) -> None:
        """Let a new bench begin.

        "steps" PLACE FIRST LAST, "share" PLACE NAME TIMES, "hold" PLACE SECONDS, "open" PLACE,
        or "backup" PLACE TARGET.
        """
        while self._pid and self.hear() is not None:
            pass  # the one before, which was killed, or is done
        assert self._helper.stdin is not None
        self._helper.stdin.write("\t".join(map(str, order)) + "\n")
        self._pid = int(self._line())

    def hear(self) -> str | None:
        """Return the next thing it says, None when it is dead."""
        line = self._line() if self._pid else "dead"
        if line != "dead":
            return line
        self._pid = 0
        return None

    def kill(self) -> None:
        """Kill it, as `kill -9` does; one that is dead already is left in peace."""
        # the helper lets its number go only when the next one begins: it is nobody else's yet
        if self._pid:
            with suppress(ProcessLookupError):
                os.kill(self._pid, signal.SIGKILL)

    def _line(self) -> str:
        assert self._helper.stdout is not None
        line = self._helper.stdout.readline()
        assert line, "the helper ended"
        return line.rstrip("\n")


def _say(text: str) -> None:
    """Write a line at once and whole: a pipe takes so few bytes all or not at all."""
    os.write(1, f"{text}\n".encode())


def _steps(place: str, first: str, last: str) -> None:
    store = open_store(place, clock=lambda: CLOCK)
    for number in range(int(first), int(last)):
        steps.do(store, number)
        _say(str(number))
    store.close()


def _share(place: str, name: str, times: str) -> None:
    store = open_store(place, clock=lambda: CLOCK)
    sharing.share(store, name, int(times))
    _say("shared")
    store.close()


def _hold(place: str, seconds: str) -> None:
    store = open_store(place, clock=lambda: CLOCK)
    with store.unit_of_work():
        _say("holding")
        time.sleep(float(seconds))
    _say("let go")
    store.close()


def _open(place: str) -> None:
    open_store(place, clock=lambda: CLOCK).close()
    _say("opened")


def _backup(place: str, target: str) -> None:
    store = open_store(place, clock=lambda: CLOCK)
    store.copy_to(Path(target))
    _say("copied")
    store.close()


_ORDERS: dict[str, Callable[..., None]] = {
    "steps": _steps,
    "share": _share,
    "hold": _hold,
    "open": _open,
    "backup": _backup,
}


def _warm() -> None:
    """Do everything once, so that no bench has anything left to import."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "warm.rushlight"
        store = create_store(path, clock=lambda: CLOCK, durable=False)
        steps.prepare(store)
        for number in range(10):
            steps.do(store, number)
        store.copy_to(path.with_name("copy.rushlight"))
        store.close()


def _live(order: str) -> None:
    name, *told = order.rstrip("\n").split("\t")
    try:
        _ORDERS[name](*told)
    except Exception as error:  # noqa: BLE001 - said to the test, which judges it
        _say(f"{type(error).__name__}: {error}")
    os._exit(0)


def _serve() -> None:
    _warm()
    _say("ready")
    last = 0
    for order in sys.stdin:
        if last:
            os.waitpid(last, 0)
        last = os.fork()
        if not last:
            _say(str(os.getpid()))
            _live(order)
        os.waitid(os.P_PID, last, os.WEXITED | os.WNOWAIT)
        _say("dead")


if __name__ == "__main__":
    _serve()

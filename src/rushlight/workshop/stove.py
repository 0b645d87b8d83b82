"""Long work kept off the pages: a stove with a few hands, pots that can be looked at and cancelled.

A pot is one question. The same question asked again finds the same pot, so a page that is
looked at twice is worked out once.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from contextlib import suppress
from enum import StrEnum
from queue import SimpleQueue
from threading import Event, Lock, Thread
from typing import Any

from rushlight.errors import RushlightError
from rushlight.heat.watch import Stopped

HANDS = 3  # pots worked on at once
KEPT = 64  # finished pots remembered; one is at most a few MB
GLANCE = 0.05  # how long one who asks waits for a quick answer [s]


class State(StrEnum):
    """How far a pot is."""

    WAITING = "waiting"
    COOKING = "cooking"
    DONE = "done"
    FAILED = "failed"
    STOPPED = "stopped"


class Pot:
    """One piece of work: how far it is, and what came of it."""

    def __init__(
        self, number: int, work: Callable[[Pot], Any], steps: int, says: str, *, warm: bool = True
    ) -> None:
        """Keep the work until a hand is free; steps: how many times it will `step`."""
        self.number = number
        self.steps = steps
        self.says = says
        self.warm = warm
        self.done = 0
        self.state = State.WAITING
        self.found: Any = None
        self.problem: RushlightError | None = None
        self.ended = Event()  # whoever waits may go on
        self.settled = Event()  # and nothing more will come of it
        self._work = work
        self._halt = Event()

    @property
    def stopped(self) -> bool:
        """Whether it was cancelled; long work looks here between its parts."""
        return self.halted()

    def halted(self) -> bool:
        """Tell whether it was cancelled: what a forecast is given as its `stop`."""
        return self._halt.is_set()

    def step(self, done: int | None = None) -> None:
        """Note that one more part is done (or so many); raise Stopped where it was cancelled."""
        self.done = self.done + 1 if done is None else done
        if self.stopped:
            raise Stopped

    def cancel(self) -> None:
        """Stop: whoever waits is let go at once, the work at its next part."""
        self._halt.set()
        if self.state in {State.WAITING, State.COOKING}:
            self.state = State.STOPPED
        self.ended.set()

    def cook(self) -> None:
        """Do the work."""
        if self.stopped:
            self.settled.set()
            return
        self.state = State.COOKING
        ended = State.DONE
        try:
            self.found = self._work(self)
        except Stopped:
            ended = State.STOPPED
        except RushlightError as bad:
            self.problem, ended = bad, State.FAILED
        except Exception as fault:  # noqa: BLE001 -- a fault of ours must not leave a page waiting
            what = f"Rushlight made a mistake ({type(fault).__name__}: {fault})."
            self.problem, ended = RushlightError(what), State.FAILED
        self.state = State.STOPPED if self._halt.is_set() else ended
        self.ended.set()
        self.settled.set()


class Stove:
    """Pots by the question they answer; daemon threads, so that nobody waits at the end."""

    def __init__(
        self, *, hands: int = HANDS, kept: int = KEPT, warm: Callable[[], None] | None = None
    ) -> None:
        """Start nothing yet; warm: done once before the first pot."""
        self._hands = hands
        self._kept = kept
        self._warm = warm
        self._lock = Lock()
        self._queue: SimpleQueue[Pot | None] = SimpleQueue()
        self._pots: OrderedDict[Hashable, Pot] = OrderedDict()
        self._threads: list[Thread] = []
        self._last = 0
        self._closed = Event()
        self.warmed = Event()
        if warm is None:
            self.warmed.set()

    def ask(  # noqa: PLR0913 - a question, its work, and what is said of it
        self,
        question: Hashable,
        work: Callable[[Pot], Any],
        *,
        steps: int = 1,
        says: str = "",
        wait: float = GLANCE,
        warm: bool = True,
    ) -> Pot:
        """Return the pot of a question, put on now if it is not there; wait [s] for it a little.

        warm: whether the work needs the stove to be warm.
        """
        with self._lock:
            pot = self._pots.get(question)
            if pot is None or pot.state is State.STOPPED:
                self._last += 1
                pot = Pot(self._last, work, steps, says, warm=warm)
                self._pots[question] = pot
                self._queue.put(pot)
                self._man()
            self._pots.move_to_end(question)
            self._forget()
        pot.ended.wait(wait)
        return pot

    def pot(self, number: int) -> Pot | None:
        """Return a pot by its number."""
        with self._lock:
            return next((pot for pot in self._pots.values() if pot.number == number), None)

    def pots(self, says: str) -> list[Pot]:
        """Return the pots that say so, the latest first."""
        with self._lock:
            found = [pot for pot in self._pots.values() if pot.says == says]
        return sorted(found, key=lambda pot: -pot.number)

    def warm_soon(self, after: float = 0.5) -> None:
        """Warm in the background a little later [s], so that the first page goes before."""

        def soon() -> None:
            if not self._closed.wait(after):
                self._warm_once()

        Thread(target=soon, name="rushlight-warm", daemon=True).start()

    def close(self) -> None:
        """Cancel everything; what is running ends at its next part."""
        self._closed.set()
        with self._lock:
            for pot in self._pots.values():
                pot.cancel()
            for _ in self._threads:
                self._queue.put(None)

    def _man(self) -> None:
        if len(self._threads) < self._hands:
            name = f"rushlight-stove-{len(self._threads) + 1}"
            thread = Thread(target=self._tend, name=name, daemon=True)
            self._threads.append(thread)
            thread.start()

    def _tend(self) -> None:
        while (pot := self._queue.get()) is not None:
            if pot.warm and not pot.stopped:
                self._warm_once()
            pot.cook()

    def _warm_once(self) -> None:
        if self.warmed.is_set() or self._warm is None:
            return
        with suppress(RushlightError):  # the pot itself will say what is wrong
            self._warm()  # twice at once does no harm: the second waits for the first
        self.warmed.set()

    def _forget(self) -> None:
        """Drop the oldest finished pots beyond those kept."""
        for question in list(self._pots):
            if len(self._pots) <= self._kept:
                return
            if self._pots[question].ended.is_set():
                del self._pots[question]

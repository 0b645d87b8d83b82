"""Work off the pages: asked once, looked at, cancelled, never left hanging."""

from __future__ import annotations

import time
from collections.abc import Iterator
from threading import Event

import pytest

from rushlight.errors import Refused
from rushlight.workshop.stove import Pot, State, Stove


@pytest.fixture
def stove() -> Iterator[Stove]:
    """Return a stove that is closed in the end."""
    made = Stove()
    yield made
    made.close()


def test_the_same_question_is_worked_out_once(stove: Stove) -> None:
    """Asked again, the same pot answers."""
    runs = []

    def work(_pot: Pot) -> str:
        runs.append(1)
        return "done"

    first = stove.ask("q", work, wait=5)
    again = stove.ask("q", work, wait=5)
    assert first is again
    assert (first.state, first.found, len(runs)) == (State.DONE, "done", 1)


def test_progress_is_told_as_it_goes(stove: Stove) -> None:
    """Steps done of steps there are."""
    go, stepped = Event(), Event()

    def work(pot: Pot) -> None:
        pot.step()
        stepped.set()
        go.wait(5)
        pot.step()

    pot = stove.ask("q", work, steps=2, wait=0)
    assert stepped.wait(5)
    assert (pot.done, pot.steps, pot.state) == (1, 2, State.COOKING)
    go.set()
    assert pot.ended.wait(5)
    assert pot.done == 2


def test_a_cancelled_pot_lets_go_at_once_and_ends_within_two_seconds(stove: Stove) -> None:
    """Whoever waits is free; the work stops at its next step."""

    def work(pot: Pot) -> None:
        while True:
            time.sleep(0.01)
            pot.step()

    pot = stove.ask("q", work, wait=0.05)
    begun = time.monotonic()
    pot.cancel()
    assert pot.ended.is_set()
    assert pot.settled.wait(2)
    assert time.monotonic() - begun < 2
    assert pot.state is State.STOPPED
    assert stove.ask("q", lambda _pot: 7, wait=5).found == 7


def test_a_refusal_and_a_fault_are_kept_to_be_said(stove: Stove) -> None:
    """The page says them; it does not wait for ever."""

    def refuse(_pot: Pot) -> None:
        raise Refused("It does not set.")

    def fault(_pot: Pot) -> None:
        raise ZeroDivisionError

    for question, work, says in (("r", refuse, "does not set"), ("f", fault, "made a mistake")):
        pot = stove.ask(question, work, wait=5)
        assert pot.state is State.FAILED
        assert says in str(pot.problem)


def test_warming_comes_before_the_first_pot_and_only_once() -> None:
    """Compiling takes seconds; whoever asks before it is done waits for it."""
    order: list[str] = []
    stove = Stove(hands=1, warm=lambda: order.append("warm"))
    assert not stove.warmed.is_set()
    stove.ask("a", lambda _pot: order.append("a"), wait=5)
    stove.ask("b", lambda _pot: order.append("b"), wait=5)
    stove.close()
    assert order == ["warm", "a", "b"]
    assert stove.warmed.is_set()


def test_a_stove_closed_soon_is_never_warmed() -> None:
    """A program opened and closed at once spends nothing."""
    warmed = Event()
    stove = Stove(warm=warmed.set)
    stove.warm_soon(after=0.05)
    stove.close()
    assert not warmed.wait(0.2)


def test_old_answers_are_forgotten_and_running_ones_are_not() -> None:
    """So that an open program does not grow."""
    stove = Stove(kept=3)
    go = Event()
    running = stove.ask("slow", lambda _pot: go.wait(5), wait=0)
    for n in range(9):
        stove.ask(n, lambda _pot: None, wait=5)
    assert stove.pot(running.number) is running
    assert len([n for n in range(1, 11) if stove.pot(n)]) <= 4
    go.set()
    stove.close()


def test_closing_cancels_everything() -> None:
    """Nothing keeps the program open."""
    stove = Stove(hands=1)

    def work(pot: Pot) -> None:
        while True:
            time.sleep(0.01)
            pot.step()

    pots = [stove.ask(n, work, wait=0) for n in range(3)]
    stove.close()
    assert all(pot.ended.wait(2) for pot in pots)
    assert all(pot.state is State.STOPPED for pot in pots)

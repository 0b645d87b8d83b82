"""`rushlight demo` and `rushlight open`: what they refuse, before anything is served."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rushlight.cli import serve

Run = Callable[..., Any]


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note what would be served, and serve nothing."""
    places: list[str] = []

    def note(shop: Any, listener: socket.socket, *, browser: bool) -> None:
        host, port = listener.getsockname()
        assert host == "127.0.0.1"
        places.append(f"{Path(shop.place).name} {port} {browser}")
        shop.close()

    monkeypatch.setattr(serve, "_serve", note)
    return places


def test_a_workshop_is_opened_where_it_is(run: Run, workshop_file: Path, served: list[str]) -> None:
    """In the browser, unless told otherwise."""
    assert run("open", workshop_file, "--port", "0").status == 0
    assert run("open", workshop_file, "--port", "0", "--no-browser").status == 0
    assert [line.split()[::2] for line in served] == [
        ["workshop.rushlight", "True"],
        ["workshop.rushlight", "False"],
    ]


def test_a_new_workshop_is_made_only_when_asked(
    run: Run, tmp_path: Path, served: list[str]
) -> None:
    """A name typed wrongly makes no empty workshop; and none is ever written over."""
    place = tmp_path / "mine.rushlight"
    missing = run("open", place)
    assert missing.status == 2
    assert f"rushlight open --create {place}" in missing.err
    assert not place.exists()
    assert run("open", "--create", place, "--port", "0").status == 0
    assert place.exists()
    again = run("open", "--create", place)
    assert again.status == 2
    assert "exists already" in again.err
    assert len(served) == 1


def test_a_port_that_is_taken_is_said(run: Run, workshop_file: Path, served: list[str]) -> None:
    """With the way round it."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        ran = run("open", workshop_file, "--port", taken.getsockname()[1])
    assert ran.status == 2
    assert ran.err.startswith("--port: Port ")
    assert "--port 0" in ran.err
    assert served == []


def test_without_a_port_any_free_one_will_do(
    run: Run, workshop_file: Path, served: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two workshops can be open side by side."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        monkeypatch.setattr(serve, "PORT", taken.getsockname()[1])
        assert run("open", workshop_file).status == 0
    assert len(served) == 1


def test_the_demo_is_never_built_over_a_workshop(
    run: Run, tmp_path: Path, served: list[str]
) -> None:
    """Her own is hers."""
    place = tmp_path / "mine.rushlight"
    assert run("open", "--create", place, "--port", "0").status == 0
    ran = run("demo", "--workshop", place, "--port", "0")
    assert ran.status == 2
    assert "a workshop of your own, not the demo" in ran.err
    assert len(served) == 1


def test_a_demo_that_is_there_is_opened_as_it_was_left(
    run: Run, workshop_file: Path, served: list[str]
) -> None:
    """It is not built again."""
    before = workshop_file.stat().st_size
    assert run("demo", "--workshop", workshop_file, "--port", "0").status == 0
    assert workshop_file.stat().st_size == before
    assert len(served) == 1


def test_a_demo_without_a_place_leaves_nothing_behind(
    run: Run, tmp_path: Path, served: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is built in a temporary folder, and says that changes will be gone."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    ran = run("demo", "--port", "0")
    assert ran.status == 0
    assert "gone when you end it" in ran.out
    assert len(served) == 1
    assert list(tmp_path.glob("rushlight-*")) == []


def test_every_command_explains_itself(run: Run) -> None:
    """And the program without a word says what there is."""
    for command in ("demo", "open", "sheet", "pot", "price", "new"):
        assert command in run().out
        told = run(command, "--help")
        assert told.status == 0
        assert "Usage" in told.out


def test_a_page_does_not_wait_for_nagle() -> None:
    """Asyncio sends small answers at once only on a socket that says it speaks TCP.

    Without it every page came 40 ms late: the second write waited for an acknowledgement.
    """
    with serve._listening(0) as listener:
        assert listener.proto == socket.IPPROTO_TCP

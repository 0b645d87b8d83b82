"""The command as a process of its own: exit status, speed, and what a shell sees."""

from __future__ import annotations

import hashlib
import http.client
import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

COMMAND = [sys.executable, "-c", "from rushlight.cli.main import run; run()"]
BROKEN = """
import rushlight.cli.candle_file as files, rushlight.cli.main as command
def read(path): raise KeyError("oops")
files.read = read
command.run()
"""


def process(*words: object, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command to its end."""
    return subprocess.run(
        [*COMMAND, *map(str, words)],
        capture_output=True,
        timeout=60,
        check=False,
        env=os.environ | environment,
    )


def test_exit_status_is_0_when_done_and_2_for_bad_input(candle: Path, tmp_path: Path) -> None:
    """And nothing like a traceback is seen."""
    done = process("sheet", candle, "--json")
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout)["candle"] == "Slipway"
    bad = process("sheet", tmp_path / "none.toml")
    assert (bad.returncode, bad.stdout) == (2, b"")
    assert b"There is no such file" in bad.stderr
    assert b"Traceback" not in bad.stderr
    usage = process("sheet", candle, "--bogus")
    assert usage.returncode == 2
    assert len(usage.stderr.splitlines()) == 1


def test_exit_status_is_1_for_a_fault_of_ours(candle: Path) -> None:
    """It is owned, in one line; the trace is there for whoever asks."""
    broken = [
        sys.executable,
        "-c",
        BROKEN,
        "sheet",
        str(candle),
    ]
    plain = os.environ | {"RUSHLIGHT_TRACEBACK": ""}
    ran = subprocess.run(broken, capture_output=True, timeout=60, check=False, env=plain)
    assert ran.returncode == 1
    assert ran.stderr.startswith(b"Rushlight made a mistake (KeyError: 'oops').")
    assert len(ran.stderr.splitlines()) == 1
    traced = plain | {"RUSHLIGHT_TRACEBACK": "1"}
    ran = subprocess.run(broken, capture_output=True, timeout=60, check=False, env=traced)
    assert ran.returncode == 1
    assert b"Traceback" in ran.stderr


def test_a_terminal_that_cannot_show_a_sign_is_no_fault(candle: Path) -> None:
    """In plain ASCII the signs come out as escapes."""
    ran = process("sheet", candle, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert b"85 \\xb0C" in ran.stdout


def test_the_same_sheet_is_printed_byte_for_byte_by_any_run(candle: Path, tmp_path: Path) -> None:
    """Whatever the order in which Python keeps its sets."""
    seen = set()
    for seed in ("0", "1"):
        out = tmp_path / f"{seed}.pdf"
        ran = process("sheet", candle, "--pdf", out, "--date", "2026-05-02", PYTHONHASHSEED=seed)
        assert ran.returncode == 0
        seen.add(hashlib.sha256(out.read_bytes()).hexdigest())
    assert len(seen) == 1


def test_a_reader_that_goes_away_is_no_fault(candle: Path) -> None:
    """As with `rushlight sheet candle.toml | head -1`."""
    with subprocess.Popen(
        [*COMMAND, "sheet", str(candle), "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as ran:
        assert ran.stdout
        assert ran.stderr
        ran.stdout.close()
        said = ran.stderr.read()
    assert b"Traceback" not in said


@pytest.mark.skipif(sys.platform == "win32", reason="processor time of children is not told")
@pytest.mark.parametrize(
    ("words", "budget"), [(("--help",), 0.25), (("sheet", "CANDLE", "--json"), 0.4)]
)
def test_commands_start_within_their_budget(
    candle: Path, words: tuple[str, ...], budget: float
) -> None:
    """The whole process, best of three.

    Processor time is taken, which on a quiet machine is the time on the clock: here
    other work may stand in the way.
    """

    def once() -> float:
        before = os.times()
        process(*(candle if word == "CANDLE" else word for word in words))
        after = os.times()
        user = after.children_user - before.children_user
        return user + after.children_system - before.children_system

    assert 0 < min(once() for _ in range(3)) < budget


@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C is sent otherwise there")
def test_the_demo_is_served_on_this_machine_alone_until_ctrl_c(tmp_path: Path) -> None:
    """It says where, answers there, ends with status 0 and keeps its file when asked to."""
    place = tmp_path / "demo.rushlight"
    with subprocess.Popen(
        [*COMMAND, "demo", "--no-browser", "--port", "0", "--workshop", str(place)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as ran:
        assert ran.stdout
        said = ran.stdout.readline()
        address = said.split()[4]
        assert address.startswith("http://127.0.0.1:")
        host, port = address.removeprefix("http://").rstrip("/").split(":")
        asked = http.client.HTTPConnection(host, int(port), timeout=20)
        asked.request("GET", "/")
        answer = asked.getresponse()
        page = answer.read().decode()
        asked.close()
        ran.send_signal(signal.SIGINT)
        out, err = ran.communicate(timeout=20)
    assert answer.status == 200
    assert "<h1" in page
    assert (ran.returncode, out, err) == (0, "", "")
    assert place.exists()

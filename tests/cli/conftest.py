"""The command line at hand: run a command, and a candle file to run it on."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from rushlight.cli.main import app
from rushlight.cli.new import example
from tests.support.homes import Home


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command left behind."""

    status: int
    out: str
    err: str

    @property
    def data(self) -> dict[str, Any]:
        """The JSON on stdout."""
        return dict(json.loads(self.out))

    @property
    def problems(self) -> list[dict[str, str]]:
        """The problems of the one shape of `--json`."""
        data = self.data
        assert list(data) == ["problems"]
        assert data["problems"]
        for problem in data["problems"]:
            assert list(problem) == ["place", "what", "remedy"]
        return list(data["problems"])


Run = Callable[..., Ran]


@pytest.fixture
def run() -> Run:
    """Return a runner of commands; no traceback is ever to be seen."""

    def runs(*words: object) -> Ran:
        result = CliRunner().invoke(app, [str(word) for word in words])
        assert "Traceback" not in result.output
        return Ran(result.exit_code, result.stdout, result.stderr)

    return runs


@pytest.fixture
def demo_place(home: Home) -> str:
    """Return where a demo workshop of the test's own is: in a file, then on a server."""
    from rushlight import demo
    from rushlight.workshop.shop import wall_clock

    def fill(place: str | Path) -> None:
        demo.fill(place, now=wall_clock())

    return str(home.filled("demo-for-commands", fill))


@pytest.fixture
def candle(tmp_path: Path) -> Path:
    """Return the example candle file."""
    path = tmp_path / "slipway.toml"
    path.write_text(example(), "utf-8")
    return path

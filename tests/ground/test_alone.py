"""The run-time lock alone is enough to run: nothing the tests bring along is needed."""

import json
import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from tests.support.tree import ROOT

CANDLE = """\
rushlight = 1
name = "Alone"
[vessel]
use = "straight tumbler"
[fill]
headspace = "12 mm"
[wax]
use = "soy container"
[fragrance]
load = "8 %"
basis = "of wax"
[[fragrance.oils]]
parts = "1"
flash_point = "93 C"
density = "0.95 g/ml"
[wick]
use = "cotton flat"
trim = "1/4 in"
"""

LIST_FILES = """\
import pathlib, rushlight
place = pathlib.Path(rushlight.__file__).parent
print(*(f.relative_to(place).as_posix() for f in place.rglob("*") if f.is_file()), sep="\\n")
"""


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the run lock and the project, as a wheel, into an environment of its own."""
    folder = tmp_path_factory.mktemp("alone")
    venv.create(folder / "venv", with_pip=True)
    command = folder / "venv" / ("Scripts" if sys.platform == "win32" else "bin")
    pip: list[str | Path] = [command / "python", "-m", "pip", "--quiet", "install"]
    locks = [f"--requirement={ROOT / 'requirements' / name}" for name in ("build.txt", "run.txt")]
    # No byte code: this environment runs two commands and is thrown away.
    subprocess.run([*pip, "--no-compile", "--require-hashes", *locks], check=True)
    # From a copy: building in the tree would leave folders there.
    project = folder / "project"
    files = subprocess.run(
        ["git", "ls-files", "-z", "-co", "--exclude-standard", "src", "*.toml", "*.md", "LICENSE"],  # noqa: S607  git is where PATH says
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.split("\0")
    for name in filter(None, files):
        target = project / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes((ROOT / name).read_bytes())
    subprocess.run([*pip, "--no-index", "--no-deps", "--no-build-isolation", project], check=True)
    return command


def _run(alone: Path, *words: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    clean = {k: v for k, v in os.environ.items() if k not in {"PYTHONPATH", "VIRTUAL_ENV"}}
    return subprocess.run(
        [alone / "rushlight", *words],
        cwd=cwd,
        env=clean | {"PYTHONWARNINGS": "error"},
        check=False,
        capture_output=True,
        text=True,
        timeout=120,
    )


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_the_command_starts(alone: Path, tmp_path: Path) -> None:
    """`rushlight --help` lists the commands."""
    done = _run(alone, "--help", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    for command in ("demo", "open", "sheet", "pot", "price"):
        assert command in done.stdout


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_a_candle_file_is_weighed(alone: Path, tmp_path: Path) -> None:
    """`rushlight sheet FILE --json` answers for a candle file, without a workshop."""
    file = tmp_path / "alone.toml"
    file.write_text(CANDLE, encoding="utf-8")
    done = _run(alone, "sheet", file, "--json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert isinstance(json.loads(done.stdout), dict)


@pytest.mark.slow
@pytest.mark.timeout(600)
def test_the_installed_package_carries_its_files(alone: Path, tmp_path: Path) -> None:
    """Templates, styles, fonts and tables are installed with the code, not only in the tree."""
    listing = subprocess.run(
        [
            alone / "python",
            "-c",
            LIST_FILES,
        ],
        cwd=tmp_path,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.splitlines()
    skipped = {".pyc", ".py", ".md"}
    source = ROOT / "src" / "rushlight"
    wanted = {
        path.relative_to(source).as_posix()
        for path in source.rglob("*")
        if path.is_file() and path.suffix not in skipped and "__pycache__" not in path.parts
    }
    assert wanted
    assert wanted - set(listing) == set()

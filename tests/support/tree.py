"""The source tree as tests see it: where it is, and which files belong to the project."""

import subprocess
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
SRC = ROOT / "src" / "rushlight"
CORE = ("quantity", "candle", "heat", "hazard", "cost")


@cache
def files() -> tuple[Path, ...]:
    """List the project's own files: those in git and those that git would take."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],  # noqa: S607  git is where PATH says
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    return tuple(path for name in listed.split("\0") if name and (path := ROOT / name).is_file())


@cache
def pyproject() -> dict[str, Any]:
    """Read pyproject.toml."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))

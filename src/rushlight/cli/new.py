"""Writing the example candle file."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from rushlight.cli.say import say
from rushlight.errors import BadInput


def example() -> str:
    """Return the example candle file."""
    return files("rushlight.cli").joinpath("candle.toml").read_text("utf-8")


def run_new(path: Path) -> None:
    """Write the example to a new file; a file that is there is never overwritten."""
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(example())
    except FileExistsError as error:
        raise BadInput.one(
            "There is a file of this name already.", "Type another name.", str(path)
        ) from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput.one(
            f"This file cannot be written ({reason}).",
            "Check that the folder is there and that you may write in it.",
            str(path),
        ) from error
    say(f"{path}: written. Change it, then type: rushlight sheet {path}")

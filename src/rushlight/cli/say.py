"""What goes to the terminal: problems, tables, JSON; nothing that could command it."""

from __future__ import annotations

import json
import sys
import unicodedata
from collections.abc import Iterable, Mapping
from typing import Any

from rushlight.errors import Problem

_UNSEEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}


def plain(text: object) -> str:
    """Return text on one line, without characters that steer a terminal."""
    spaced = " ".join(str(text).split())
    return "".join(c for c in spaced if unicodedata.category(c) not in _UNSEEN)


def say_problems(problems: Iterable[Problem], *, as_json: bool) -> None:
    """Say problems: one line each on stderr, or as JSON on stdout."""
    if as_json:
        shaped = [{"place": p.place, "what": p.what, "remedy": p.remedy} for p in problems]
        say_json({"problems": shaped})
        return
    for problem in problems:
        sys.stderr.write(plain(problem) + "\n")


def say_json(data: Mapping[str, Any]) -> None:
    """Write one JSON object to stdout, in ASCII, whatever the terminal can show."""
    sys.stdout.write(json.dumps(data, indent=2, allow_nan=False) + "\n")


def say(text: str) -> None:
    """Write one line to stdout."""
    sys.stdout.write(plain(text) + "\n")
    sys.stdout.flush()  # whoever reads us through a pipe is told at once

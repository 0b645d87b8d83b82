"""Reading a candle file: TOML, UTF-8, of a size a person would write."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from rushlight.errors import BadInput

LARGEST = 1_000_000
"""Bytes; the longest sensible candle file is a few thousand."""


def read(path: Path) -> dict[str, Any]:
    """Return the document in a candle file, or raise BadInput saying what is wrong with it."""
    raw = _bytes(path)
    if len(raw) > LARGEST:
        raise BadInput.one(
            f"This file is larger than {LARGEST // 1000:,} kB.",
            "A candle file is a page of text; check that this is the right file.",
            str(path),
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise BadInput.one(
            f"Line {line} is not text in UTF-8.",
            "Save the file as UTF-8 (“Unicode”) in your editor.",
            str(path),
        ) from error
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise BadInput.one(
            "Lists or tables in this file are nested far too deeply.",
            "See “rushlight new” for what a candle file looks like.",
            str(path),
        ) from error
    except ValueError as error:  # TOMLDecodeError, and numbers of thousands of digits
        raise BadInput.one(
            f"This is not a candle file in TOML: {_reason(error)}.",
            "Put every value in quotes; “rushlight new” writes an example.",
            str(path),
        ) from error


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(LARGEST + 1)
    except FileNotFoundError as error:
        raise BadInput.one(
            "There is no such file.", "Check the name, or make one with “rushlight new”.", str(path)
        ) from error
    except IsADirectoryError as error:
        raise BadInput.one(
            "This is a folder, not a candle file.", "Name a file in it.", str(path)
        ) from error
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        raise BadInput.one(
            f"This file cannot be read ({_reason(error)}).",
            "Check its name and that you may read it.",
            str(path),
        ) from error


def _reason(error: Exception) -> str:
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return said.strip().rstrip(".") or type(error).__name__

"""Writing a file whole, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from rushlight.errors import BadInput


def write_whole(path: Path, content: bytes) -> None:
    """Put content at path in one step; BadInput when it cannot be written there."""
    try:
        if path.is_dir():
            raise IsADirectoryError(21, "Is a directory")
        beside = path.with_name(f".{path.name[:100]}.{os.getpid()}.part")
        try:
            beside.write_bytes(content)
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)
    except (OSError, ValueError) as error:  # ValueError: a null character in the name
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput.one(
            f"This file cannot be written ({reason}).",
            "Check that the folder is there and that you may write in it.",
            str(path),
        ) from error

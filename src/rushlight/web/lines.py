"""The numbered lines of a form: `lines.0.material`, `lines.1.material`."""

from __future__ import annotations

import re
from collections.abc import Iterable

_LINE = re.compile(r"lines\.(\d{1,4})\..*", re.ASCII)


def rows_of(names: Iterable[str]) -> int:
    """Return how many rows it takes to show the lines that these fields are of."""
    return max((int(found[1]) + 1 for found in map(_LINE.fullmatch, names) if found), default=0)

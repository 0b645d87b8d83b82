"""How moments and documents are written down: ISO 8601 in UTC, and JSON.

Both are texts, so that a file can be read by anyone, in any program, in fifty years.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any


def stamp(moment: datetime) -> str:
    """Return a moment as ISO 8601 text in UTC with milliseconds; texts sort as moments do."""
    text = moment.astimezone(UTC).isoformat(timespec="milliseconds")
    return text.replace("+00:00", "Z")


def moment(text: str) -> datetime:
    """Return the moment written by `stamp`."""
    return datetime.fromisoformat(text)


def written(value: Mapping[str, Any] | Sequence[Any] | str) -> str:
    """Return a value as JSON that keeps the order things were typed in."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def plain(name: str) -> str:
    """Return a name as it is searched: one space between words, no capitals, é as one sign."""
    return unicodedata.normalize("NFC", " ".join(name.split())).casefold()


def digest(document: Mapping[str, Any]) -> str:
    """Return a fingerprint of a document; the order of its keys does not matter."""
    text = json.dumps(document, ensure_ascii=False, sort_keys=True, allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()

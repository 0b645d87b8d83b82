"""Archives for tests: what is in one, and one made over with something wrong in it."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from rushlight.errors import BadInput, RushlightError
from rushlight.workshop import Workshop
from rushlight.workshop.exchange import archive

PDF = b"%PDF-1.7\n" + bytes(range(256))
Change = bytes | Callable[[bytes], bytes] | None
"""What an entry becomes; None: it is left out."""


def entries(path: Path) -> dict[str, bytes]:
    """Return every entry of an archive."""
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def tables(path: Path) -> dict[str, bytes]:
    """Return every entry but the manifest, which says when it was made."""
    return {name: told for name, told in entries(path).items() if name != "manifest.json"}


def written(shop: Workshop, path: Path) -> Path:
    """Write a workshop out."""
    return archive.write(shop, path).path


def made_over(
    source: Path,
    target: Path,
    changes: Mapping[str, Change],
    *,
    told: Callable[[dict[str, Any]], None] | None = None,
) -> Path:
    """Write an archive anew with entries changed, its manifest true to them.

    told: changes the manifest after that.
    """
    there = entries(source)
    manifest = json.loads(there.pop("manifest.json"))
    for name, change in changes.items():
        if name == "manifest.json":
            continue
        content = change(there[name]) if callable(change) else change
        if content is None:
            del there[name], manifest["entries"][name]
            continue
        there[name] = content
        entry = manifest["entries"].setdefault(name, {})
        entry |= {"sha256": hashlib.sha256(content).hexdigest(), "bytes": len(content)}
    if told is not None:
        told(manifest)
    there["manifest.json"] = json.dumps(manifest).encode()
    given = changes.get("manifest.json")
    if isinstance(given, bytes):
        there["manifest.json"] = given
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in there.items():
            package.writestr(name, content)
    return target


def refused(bad: Path, folder: Path, kind: type[RushlightError] = BadInput) -> str:
    """Read an archive; return why it was refused, having looked that nothing was made."""
    place = folder / "new"
    place.mkdir(exist_ok=True)
    with pytest.raises(kind) as caught:
        archive.read(bad, place / "new.rushlight")
    assert list(place.iterdir()) == []
    return str(caught.value)

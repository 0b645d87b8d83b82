"""An archive to spoil, and workshops to back up."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rushlight.workshop import Workshop, hazards, materials, settings
from rushlight.workshop.opening import create_workshop
from tests.support import archives, jars


@pytest.fixture(scope="session")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the archive of a small workshop with a lot, jars and a file; nobody changes it."""
    folder = tmp_path_factory.mktemp("good")
    shop = create_workshop(folder / "good.rushlight", durable=False)
    jars.furnish(shop)
    code = jars.stocked(shop, "millpond-soy", 5_000_000, from_whom="Nobody")
    jars.jarred(shop, "slipway", 12, of={code: 1_000_000})
    hazards.attach(shop, "millpond-soy", "sheet.pdf", archives.PDF)
    archives.written(shop, folder / "good.zip")
    shop.close()
    return folder / "good.zip"


@pytest.fixture
def kept(empty: Workshop, tmp_path: Path) -> Workshop:
    """Return a workshop that is backed up into a folder named in full."""
    settings.change(empty, {"backup_folder": str(tmp_path / "kept"), "backup_keep": "3"})
    return empty


@pytest.fixture
def mine(tmp_path: Path, clock: Any) -> Iterator[Workshop]:
    """Return a workshop in a file, which waits for the disc as hers does."""
    folder = tmp_path / "hers"
    folder.mkdir()
    shop = create_workshop(folder / "mine.rushlight", clock=clock)
    materials.save(shop, None, {"role": "wax", "name": "First"})
    yield shop
    shop.close()

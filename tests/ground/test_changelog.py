"""The changelog and the package speak of the same version."""

import re
from importlib.metadata import version

from tests.support.tree import ROOT, pyproject


def test_the_newest_entry_is_the_version_of_the_package() -> None:
    """The first heading of CHANGELOG.md carries the version of pyproject.toml."""
    text = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.search(r"^## (\d+\.\d+\.\d+)\b", text, flags=re.MULTILINE)
    assert newest is not None
    assert newest[1] == pyproject()["project"]["version"]


def test_the_installed_package_is_this_one() -> None:
    """What the tests import was installed from this pyproject.toml."""
    assert version("rushlight") == pyproject()["project"]["version"]

"""The locks: complete, hashed, and silent about where to download from."""

import re
from functools import cache

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.support.tree import ROOT, pyproject

LOCKS = ("run", "dev", "build")
SHA256 = re.compile(r"--hash=sha256:[0-9a-f]{64}\b")


@cache
def _entries(lock: str) -> dict[str, tuple[frozenset[str], int]]:
    """Map each locked package to its versions (one per marker) and its count of hashes."""
    text = (ROOT / "requirements" / f"{lock}.txt").read_text(encoding="utf-8")
    bare = re.sub(r"^\s*#.*\n", "", text, flags=re.MULTILINE).replace("\\\n", " ")
    found: dict[str, tuple[frozenset[str], int]] = {}
    for line in bare.splitlines():
        requirement = Requirement(line.split("--hash")[0].strip())
        name = canonicalize_name(requirement.name)
        versions, hashes = found.get(name, (frozenset(), 0))
        pin = str(requirement.specifier)
        assert pin.startswith("=="), f"{lock}: {name} is not pinned: {pin!r}"
        assert SHA256.search(line), f"{lock}: {name} has no hash"
        found[name] = (versions | {pin}, hashes + len(SHA256.findall(line)))
    return found


@pytest.mark.parametrize("lock", LOCKS)
def test_every_entry_is_pinned_and_hashed(lock: str) -> None:
    """Each package stands with one exact version and at least one SHA-256."""
    assert _entries(lock), "an empty lock would pass every other check"


@pytest.mark.parametrize("lock", LOCKS)
def test_no_lock_names_an_address_or_a_folder(lock: str) -> None:
    """No lock says where to download from, nor carries a path of the machine that made it."""
    text = (ROOT / "requirements" / f"{lock}.txt").read_text(encoding="utf-8")
    found = re.findall(
        r"\w+://\S*|file:\S*|\S*(?:index-url|find-links|trusted-host)\S*|(?:^|\s)(?:/|~|[A-Z]:\\)\w\S*",
        text,
    )
    assert found == []


def test_the_locks_hold_what_the_project_asks_for() -> None:
    """Each dependency declared in pyproject.toml is in its lock, at a version that fits."""
    declared = pyproject()
    asked = {
        "run": declared["project"]["dependencies"],
        "dev": declared["dependency-groups"]["dev"] + declared["project"]["dependencies"],
        "build": declared["dependency-groups"]["build"] + declared["build-system"]["requires"],
    }
    for lock, requirements in asked.items():
        for requirement in map(Requirement, requirements):
            versions, _ = _entries(lock)[canonicalize_name(requirement.name)]
            for version in versions:
                assert requirement.specifier.contains(version.removeprefix("==")), (
                    f"{lock}: {requirement} does not admit {version}; run make lock"
                )


def test_developing_uses_the_versions_that_users_run() -> None:
    """Every package of the run lock is in the dev lock, at the same version."""
    for name, (versions, _) in _entries("run").items():
        assert _entries("dev")[name][0] == versions, name


@pytest.mark.parametrize("name", ["numpy", "scipy", "numba", "llvmlite", "pydantic-core", "typst"])
def test_compiled_packages_carry_the_hashes_of_other_machines(name: str) -> None:
    """A lock made on one machine must not hold the wheel of that machine only."""
    assert _entries("run")[name][1] >= 10

"""Who may import whom, checked on the sources rather than promised."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.support.tree import CORE, ROOT, SRC, pyproject

# Where the name one imports is not the name one installs.
INSTALLED_AS = {
    "barcode": "python-barcode",
    "fontTools": "fonttools",
    "multipart": "python-multipart",
    "stdnum": "python-stdnum",
    "yaml": "pyyaml",
    "zxingcpp": "zxing-cpp",
    "python_multipart": "python-multipart",
}
# Parts of a declared dependency that it re-exports and documents as its own.
COMES_WITH = {
    "starlette": "fastapi",
    "click": "typer",
    "packaging": "pytest",
    "werkzeug": "schemathesis",
}
# What a benchmark compares us with: its docstring says how to install them, no lock does.
BESIDE = {"fipy", "pde", "skfem"}
OURS = {"rushlight", "tests", "benchmarks"}
NUMBERS = {"numpy", "scipy", "numba"}


def _imports(folder: Path) -> Iterator[tuple[str, str]]:
    for file in sorted(folder.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names: list[str] = []
            if isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
                names = [node.module]
            for name in names:
                yield file.relative_to(ROOT).as_posix(), name.partition(".")[0]


def _strangers(folder: Path) -> set[tuple[str, str]]:
    known = OURS | sys.stdlib_module_names
    return {(file, name) for file, name in _imports(folder) if name not in known}


def _undeclared(folder: Path, declared: list[str]) -> set[tuple[str, str]]:
    allowed = {canonicalize_name(Requirement(line).name) for line in declared}
    return {
        (file, name)
        for file, name in _strangers(folder)
        if canonicalize_name(INSTALLED_AS.get(name, COMES_WITH.get(name, name))) not in allowed
    }


def _extras() -> list[str]:
    extras = pyproject()["project"].get("optional-dependencies", {})
    return [line for lines in extras.values() for line in lines]


def test_the_import_contracts_hold() -> None:
    """import-linter finds every contract of pyproject.toml kept."""
    done = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache"],
        cwd=ROOT,
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("package", CORE)
def test_the_core_needs_nothing_but_numbers(package: str) -> None:
    """A core package imports the standard library, NumPy, SciPy, numba and what is excepted."""
    found = {(file, name) for file, name in _strangers(SRC / package) if name not in NUMBERS}
    assert found == set()


def test_the_package_imports_only_what_it_declares() -> None:
    """What src/ imports stands among the dependencies, or is what an extra adds."""
    project = pyproject()["project"]
    allowed = project["dependencies"] + _extras()
    assert _undeclared(SRC, allowed) == set()


def test_what_an_extra_adds_is_imported_only_when_asked_for() -> None:
    """Never at the top of a module: Rushlight starts without it."""
    added = {Requirement(line).name for line in _extras()}
    assert added, "no extra is left: take this test and _extras away"
    for file in sorted(SRC.rglob("*.py")):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            names = [alias.name for alias in getattr(node, "names", [])]
            names.append(getattr(node, "module", None) or "")
            found = {name.partition(".")[0] for name in names} & added
            assert not (isinstance(node, ast.Import | ast.ImportFrom) and found), file


def test_the_tests_import_only_what_the_dev_lock_brings() -> None:
    """What tests/ and benchmarks/ import stands among the dependencies or in the dev group."""
    declared = pyproject()
    allowed = declared["project"]["dependencies"] + declared["dependency-groups"]["dev"]
    tests, benchmarks = ROOT / "tests", ROOT / "benchmarks"
    assert _undeclared(tests, allowed) | _undeclared(benchmarks, [*allowed, *BESIDE]) == set()

"""A public function of the core says in which unit it takes and gives its numbers."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from tests.support.tree import CORE, ROOT, SRC

# The types of rushlight.quantity.si, and how their unit is written in a docstring, in brackets.
# A number of dimension one may say that it is a fraction in words.
UNITS = {
    "Kilogram": r"\[kg\]",
    "CubicMetre": r"\[m(3|³)\]",
    "Metre": r"\[m\]",
    "Kelvin": r"\[K\]",
    "KelvinStep": r"\[K\]",
    "Second": r"\[s\]",
    "Watt": r"\[W\]",
    "Density": r"\[kg/m(3|³)\]",
    "Fraction1": r"\[(-|–|1|fraction)\]|[Ff]raction|share|ratio",
}
# Reading what a maker typed and showing it again: the text carries the unit, and the type in the
# signature says which quantity it is. A unit in every docstring there would say nothing more.
SPOKEN = {"src/rushlight/quantity/parse.py", "src/rushlight/quantity/show.py"}


@dataclass(frozen=True)
class Spoken:
    """A public function of the core: where it stands, what it says, what it takes."""

    place: str
    doc: str
    types: frozenset[str]


def _annotations(function: ast.FunctionDef) -> Iterator[ast.expr]:
    arguments = function.args
    for argument in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs):
        if argument.annotation is not None:
            yield argument.annotation
    if function.returns is not None:
        yield function.returns


def _public(package: str) -> Iterator[Spoken]:
    for file in sorted((SRC / package).rglob("*.py")):
        name = file.relative_to(ROOT).as_posix()
        if name in SPOKEN:
            continue
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                words = re.findall(r"\w+", " ".join(map(ast.unparse, _annotations(node))))
                types = frozenset(words) & set(UNITS)
                yield Spoken(f"{name}: {node.name}", ast.get_docstring(node) or "", types)


@pytest.mark.parametrize("package", CORE)
def test_every_quantity_has_its_unit_in_the_docstring(package: str) -> None:
    """A parameter or result in kg, m, K, s, W ... is named with that unit, in brackets."""
    silent = {
        (spoken.place, kind)
        for spoken in _public(package)
        for kind in spoken.types
        if not re.search(UNITS[kind], spoken.doc)
    }
    assert silent == set()


def test_the_check_sees_quantities_at_all() -> None:
    """The core has many functions that take quantities; a walk over nothing would prove nothing."""
    taking = [spoken for package in CORE for spoken in _public(package) if spoken.types]
    assert len(taking) > 20


def test_the_table_of_units_names_every_type() -> None:
    """A quantity type added to rushlight.quantity.si needs its row here."""
    text = (SRC / "quantity" / "si.py").read_text(encoding="utf-8")
    assert set(re.findall(r"^(\w+) = NewType", text, flags=re.MULTILINE)) == set(UNITS)

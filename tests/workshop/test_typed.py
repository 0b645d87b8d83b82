from __future__ import annotations

import pytest

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.workshop.typed import Typed


@pytest.mark.parametrize("typed", ["a\u202eb", "x" * 201])
def test_what_is_wrong_with_a_field_is_said_once(typed: str) -> None:
    """However often the field is read; and not also that it is missing."""
    form = Typed({"jars": typed}, ("jars",))
    for _ in range(2):
        assert not form.needed("jars", "The number of jars is missing.", "Type it, like 2.")
        assert form.read("jars", parse.count) is None
    with pytest.raises(BadInput) as caught:
        form.problems.check()
    (problem,) = caught.value.problems
    assert problem.place == "jars"


def test_a_missing_field_is_said_to_be_missing() -> None:
    """Blanks are nothing."""
    form = Typed({"jars": "  "}, ("jars",))
    form.needed("jars", "The number of jars is missing.", "Type it, like 2.")
    assert [problem.what for problem in form.problems.found] == ["The number of jars is missing."]

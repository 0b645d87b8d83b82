"""Whatever is typed, a parser answers with a value or with BadInput, and with nothing else."""

import math
from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.quantity import parse
from rushlight.quantity.units import TABLE

PARSERS: list[Callable[[str], object]] = [getattr(parse, name) for name in parse.__all__]
PIECES = st.sampled_from(
    [word for unit in TABLE for word in (unit.name, *unit.spellings)]
    + list("0123456789.,/-+ %£$€°'\"½¾⁄\u2212\u00a0\u202e\u200b٣e:")
    + [
        "nan",
        "inf",
        "1e9",
        " am",
        "pm",
        "per",
        "and",
        "GBP",
        "p",
        "9" * 30,
        "\ud800",
        "<b>",
        "\x00",
    ]
)
ANY = st.one_of(
    st.text(), st.lists(PIECES, max_size=8).map("".join), st.lists(PIECES).map(" ".join)
)


@pytest.mark.parametrize("read", PARSERS, ids=parse.__all__)
@given(text=ANY)
@example(text="9" * 10_000)
@example(text="1 lb " * 500)
@example(text="\ud800\udfff")
@example(text="{{7*7}}<script>alert(1)</script>")
def test_a_parser_raises_nothing_but_one_problem(read: Callable[[str], object], text: str) -> None:
    """The value is finite; the problem is short, whole and printable."""
    try:
        value = read(text)
    except BadInput as error:
        (problem,) = error.problems
        assert problem.place == ""
        assert problem.what.endswith(".")
        assert problem.remedy.endswith(".")
        assert len(problem.what) < 400
        assert str(problem).isprintable()
    else:
        if isinstance(value, float):
            assert math.isfinite(value)
            assert value >= 0 or read is parse.difference

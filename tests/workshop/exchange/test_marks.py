from __future__ import annotations

import pytest

from rushlight.workshop.exchange.formulas import looks_like_formula
from rushlight.workshop.exchange.marks import mark_problems, marked


@pytest.mark.parametrize(
    ("text", "sure", "either"),
    [
        ("1.5", ".", ""),
        ("1,5 kg", ",", ""),
        ("0,125", ",", ""),
        ("1,250.50", ".", ""),
        ("1.250,50 €", ",", ""),
        ("1,250,000", ".", ""),
        ("1.250.000", ",", ""),
        ("1250", "", ""),
        ("1.250", "", "1.250"),
        ("1,250", "", ""),  # refused by whoever reads it
        ("155-170 F", "", ""),
        ("2 lb 4.5 oz.", ".", ""),
        ("", "", ""),
    ],
)
def test_a_number_tells_its_decimal_mark_or_does_not(text: str, sure: str, either: str) -> None:
    """As `rushlight.quantity.reading` reads it."""
    assert (marked(text).sure, marked(text).either) == (frozenset(sure), either)


def test_both_marks_in_one_column_are_a_problem_of_each_odd_row() -> None:
    """Odd is what the workshop does not use; one row that has it is named."""
    cells = [(2, "1,5"), (3, "1.5"), (4, "7"), (5, "2,5")]
    found = mark_problems(cells, ".")
    assert set(found) == {2, 5}
    assert found[2][0] == "“1,5” has a decimal comma, and row 3 of this column a decimal point."
    assert set(mark_problems(cells, ",")) == {3}


def test_one_mark_alone_is_fine_whichever_it_is() -> None:
    """A list from abroad may have the other mark throughout."""
    assert mark_problems([(2, "1,5"), (3, "2,5")], ".") == {}
    assert mark_problems([(2, "1.5"), (3, "1.250")], ".") == {}


def test_a_thousand_or_one_and_a_quarter_is_asked_where_commas_are_usual() -> None:
    """In a workshop with a decimal comma, or a column that has one."""
    told = (
        "“1.250” can be read in two ways.",
        "Write 1250 for the thousand, or 1,25 for the decimal.",
    )
    assert mark_problems([(2, "1.250")], ",") == {2: told}
    assert mark_problems([(2, "1.250"), (3, "3,5")], ".") == {2: told}


@pytest.mark.parametrize(
    "text",
    ["=1+1", "@SUM(A1)", "+cmd|' /C calc'!A0", "-cmd", "  =1", "＝1", "-5+cmd|' /C'!A0", "+(1)"],
)
def test_texts_like_formulas_are_known(text: str) -> None:
    """The usual payloads (common practice)."""
    assert looks_like_formula(text)


@pytest.mark.parametrize(
    "text", ["", "-5", "+44 20 7946 0018", "- stirred twice", "Soy = good", "a@b.example", "−3 °C"]
)
def test_plain_texts_are_let_be(text: str) -> None:
    """A telephone number, a dash in a note, an address."""
    assert not looks_like_formula(text)

from __future__ import annotations

import re
from datetime import date

import pytest

from rushlight.errors import BadInput
from rushlight.store.codes import check, jar_code, order_code, stock_code
from tests.support.tree import ROOT

# by python-stdnum, ISO/IEC 7064 MOD 11,10
STOCK, ORDER, JARS = "M1-9", "S1-9", "260518-01-9"


def test_codes_end_in_the_check_character_of_their_digits() -> None:
    """Of a lot, of an order, of the jars of a pour."""
    assert (stock_code(1), order_code(1)) == (STOCK, ORDER)
    assert jar_code(date(2026, 5, 18), 1) == JARS
    assert check(jar_code(date(2026, 5, 18), 100)) == jar_code(date(2026, 5, 18), 100)


@pytest.mark.parametrize(
    "typed",
    [
        *("260518019", "260518 01 9", " 260518-01-9 ", "260518/01/9", "260518_01_9"),
        # what a letter, a web page or a telephone makes of a hyphen, and what a paste brings along
        *("260518‐01‐9", "260518‑01‑9", "260518–01–9", "260518—01—9", "260518−01−9"),
        *(
            "260518\u00ad01\u00ad9",
            "\ufeff260518-01-9",
            "260518-01-9\u200b",
            "260518\u00a001\u00a09",
        ),
    ],
)
def test_blanks_and_dashes_of_any_kind_do_not_matter(typed: str) -> None:
    """A code copied out of a message is the code."""
    assert check(typed) == JARS


@pytest.mark.parametrize("typed", ["260518-01-8", "206518-01-9", "260581-01-9"])
def test_a_wrong_or_swapped_digit_is_a_slip(typed: str) -> None:
    """It is told apart from what is no code."""
    with pytest.raises(BadInput, match="slip"):
        check(typed)


@pytest.mark.parametrize("typed", ["", "-", "M", "M-9", "X1-9", "M1-९", "٢60518-01-7", "9" * 41])
def test_what_is_no_code_is_none(typed: str) -> None:
    """Nothing of it is guessed."""
    with pytest.raises(BadInput, match="not a code"):
        check(typed)


def test_every_code_shown_as_an_example_can_be_typed() -> None:
    """In messages, pages and the guide: who tries one is not told that it has a slip."""
    like = re.compile(r"(?<![\w-])(?:[MS]\d{1,8}|\d{6}-\d{2,4})-\d(?![\w-])")
    files = [*(ROOT / "src").rglob("*.py"), *(ROOT / "src").rglob("*.html")]
    shown = {
        code
        for file in (*files, *(ROOT / "docs").glob("*.md"))
        for code in like.findall(file.read_text(encoding="utf-8"))
    }
    assert {"M42-2", "260518-01-9", "S31-8"} <= shown
    for code in shown:
        assert check(code) == code

import pytest

from rushlight.errors import BadInput
from rushlight.hazard.classes import hazard_class, known, outcome
from rushlight.hazard.codes import read_classes


@pytest.mark.parametrize(
    ("typed", "codes"),
    [
        ("Skin Irrit. 2 H315; Skin Sens. 1B, H317", ("Skin Irrit. 2", "Skin Sens. 1B")),
        ("H317, H411", ("Skin Sens. 1", "Aquatic Chronic 2")),
        ("Acute Tox. 4 H302 / Acute Tox. 4 H332", ("Acute Tox. 4 oral", "Acute Tox. 4 mist")),
        ("Acute Tox. 3 (inhalation: vapour)", ("Acute Tox. 3 vapour",)),
        ("Repr. 1B H360FD", ("Repr. 1B",)),
        ("STOT SE 3; H335", ("STOT SE 3 irritation",)),
        ("aquatic chronic 1 H410, AQUATIC ACUTE 1", ("Aquatic Chronic 1", "Aquatic Acute 1")),
        ("Lact. H362", ("Lact.",)),
        ("Skin sensitisation", ()),
    ],
)
def test_classes_are_read_as_sheets_print_them(typed: str, codes: tuple[str, ...]) -> None:
    """Class and H statement belong together; either may stand alone where it is clear."""
    if not codes:
        with pytest.raises(BadInput):
            read_classes(typed)
    else:
        assert read_classes(typed) == codes


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("Foo 3", "not a hazard class"),
        ("Skin Sens. 7", "not a category"),
        ("H360", "fits Repr. 1A and Repr. 1B"),
        ("Acute Tox. 4", "does not say oral"),
        ("H999", "not a hazard statement"),
        ("Skin Sens. 1B and nonsense", "nonsense"),
    ],
)
def test_what_is_not_understood_is_a_problem_with_a_remedy(typed: str, words: str) -> None:
    """No part of the cell is silently skipped."""
    with pytest.raises(BadInput, match=words) as bad:
        read_classes(typed)
    assert all(problem.remedy for problem in bad.value.problems)


def test_every_class_has_a_statement_and_a_law() -> None:
    """Every class code can be read back, and prints a statement."""
    for code, row in known().items():
        assert read_classes(code) == (code,)
        assert row.h.startswith(("H", "EUH"))
        assert row.laws


def test_an_unknown_code_is_refused() -> None:
    """Codes come from the table alone."""
    with pytest.raises(BadInput, match="not a hazard class"):
        hazard_class("Skin Sens. 9")
    assert outcome("Skin Sens. 1A") == "Skin Sens. 1"

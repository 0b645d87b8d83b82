import pytest

from rushlight.errors import BadInput
from rushlight.hazard.typed import read_sheet

TYPED = {
    "rows": "Linalool,78-70-6,10 - 12 %,Skin Sens. 1B",
    "flash_point": "> 93 C",
    "flash_method": "closed cup",
    "boiling_point": "398 F",
    "viscosity": "12,5 mm2/s",
    "ph": "6,5",
    "attached": "sheet.pdf",
}


def test_a_sheet_is_read_from_what_was_typed() -> None:
    """Temperatures to kelvin, viscosity to m²/s, a comma as a point; 398 °F is 476.48 K."""
    sheet = read_sheet("Tide", TYPED)
    assert sheet.flash_point == pytest.approx(366.15)
    assert sheet.boiling_point == pytest.approx(476.4833, abs=1e-4)
    assert sheet.viscosity == pytest.approx(12.5e-6)
    assert (sheet.ph, sheet.flash_method, sheet.attached) == (6.5, "closed cup", "sheet.pdf")
    assert sheet.components[0].high == 0.12


def test_all_problems_of_a_sheet_come_at_once() -> None:
    """Each in the field it belongs to."""
    wrong = {
        **TYPED,
        "rows": "Linalool,78-70-7,10-12,Foo 2",
        "flash_point": "hot",
        "viscosity": "12",
        "ph": "15",
        "colour": "red",
    }
    with pytest.raises(BadInput) as bad:
        read_sheet("Tide", wrong)
    assert [problem.place for problem in bad.value.problems] == [
        "colour",
        "rows.0.cas",
        "rows.0.classes",
        "flash_point",
        "viscosity",
        "ph",
    ]


def test_only_the_rows_are_required() -> None:
    """A sheet may say no more than section 3."""
    sheet = read_sheet("Tide", {"rows": TYPED["rows"]})
    assert (sheet.flash_point, sheet.viscosity, sheet.ph) == (None, None, None)
    with pytest.raises(BadInput, match="Nothing was pasted"):
        read_sheet("Tide", {})

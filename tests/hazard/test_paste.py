import pytest

from rushlight.errors import BadInput
from rushlight.hazard.component import Route
from rushlight.hazard.paste import read_rows
from rushlight.hazard.ranges import read_limit, read_range

SHEET = (
    "Name\tCAS No.\tConcentration\tClassification\tM-factor\tSCL\tATE\n"
    "Linalool\t78-70-6\t10 - 12 %\tSkin Irrit. 2 H315, Skin Sens. 1B H317\t\t\t\n"
    "Limonene\t5989-27-5\t< 5\tSkin Sens. 1B; Aquatic Acute 1\tacute 1"
    "\tSkin Sens. 1B: C ≥ 0.5 %\toral 500; vapour unknown\n"
)


def test_rows_from_a_sheet_become_components() -> None:
    """Headings set the order; the upper end counts; a bare '<' starts at nothing."""
    first, second = read_rows(SHEET).check()
    assert (first.low, first.high) == (0.10, 0.12)
    assert first.classes == ("Skin Irrit. 2", "Skin Sens. 1B")
    assert (second.low, second.high, second.m_acute) == (0.0, 0.05, 1.0)
    assert second.limits[0].low == 0.005
    assert second.ates[0].value == 500.0
    assert second.unknown == {Route.VAPOUR}


def test_without_headings_the_order_is_the_usual_one() -> None:
    """Name, CAS, range, classes … by comma or semicolon."""
    (by_comma,) = read_rows('Citral,5392-40-5,"1,5",Skin Sens. 1').check()
    (by_semicolon,) = read_rows("Citral;5392-40-5;1,5;Skin Sens. 1").check()
    assert by_comma == by_semicolon
    assert by_comma.high == 0.015


def test_every_problem_is_found_in_its_place_and_nothing_is_lost() -> None:
    """One row with six faults gives six problems; the text and the good rows stay."""
    typed = "Good,78-70-6,5,H317\nBad,78-70-7,20-10,Foo 2,x,y,z\n,,150,\n"
    pasted = read_rows(typed)
    places = [problem.place for problem in pasted.problems]
    assert places[:6] == [f"rows.1.{c}" for c in ("cas", "range", "m", "ate", "classes", "limits")]
    assert {"rows.2.name", "rows.2.range"} <= set(places)
    assert pasted.text == typed
    assert pasted.rows[1].cells["classes"] == "Foo 2"
    assert [component.name for component in pasted.components] == ["Good"]
    with pytest.raises(BadInput) as bad:
        pasted.check()
    assert len(bad.value.problems) == len(pasted.problems)


def test_a_substance_twice_with_overlapping_ranges_is_a_problem() -> None:
    """5 - 10 % and 8 - 20 % of one CAS number cannot both be meant."""
    pasted = read_rows("Linalool,78-70-6,5-10,H317\nLinalool,78-70-6,8-20,H317")
    assert pasted.problems[0].place == "rows.1.range"
    assert "overlapping" in pasted.problems[0].what


def test_lower_ends_over_a_hundred_percent_are_a_problem() -> None:
    """60 % and 50 % cannot both be in one oil."""
    pasted = read_rows("A,,60,\nB,,50,")
    assert "add up to 110 %" in pasted.problems[0].what


def test_overlapping_specific_limits_are_a_problem() -> None:
    """Irritant to 20 % and corrosive from 15 % leaves 15 to 20 % undecided."""
    pasted = read_rows("A,,5,Skin Corr. 1B,,Skin Irrit. 2: 5 - 20; Skin Corr. 1B: >= 15")
    assert pasted.problems[0].place == "rows.0.limits"
    assert "overlap" in pasted.problems[0].what


def test_unknown_columns_and_extra_cells_are_said() -> None:
    """A column Rushlight does not read is not dropped without a word."""
    assert read_rows("name,range,colour\nA,5,red").problems[0].place == "rows.heading"
    assert "more cells" in read_rows("name,range\nA,5,red").problems[0].what
    assert read_rows("  \n").problems[0].place == "rows"


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("5 - 10 %", 0.05, 0.10),
        ("≥ 2,5 - < 10", 0.025, 0.10),
        ("<= 1", 0.0, 0.01),
        ("7", 0.07, 0.07),
        ("1 to 3 %", 0.01, 0.03),
        (">=5 %-<=10 %", 0.05, 0.10),
    ],
)
def test_ranges_are_read_as_sheets_print_them(typed: str, low: float, high: float) -> None:
    """Signs, commas, dashes and percent signs all occur."""
    assert read_range(typed) == pytest.approx((low, high))


@pytest.mark.parametrize(
    ("typed", "words"),
    [("120", "more than 100"), ("20 - 10", "backwards"), ("> 5", "no upper end"), ("x", "not a")],
)
def test_impossible_ranges_say_what_is_wrong(typed: str, words: str) -> None:
    """Over 100, reversed, open or not a number."""
    with pytest.raises(BadInput, match=words):
        read_range(typed)


def test_specific_limits_keep_both_ends() -> None:
    """A limit may be open above, or close where a worse class begins."""
    assert read_limit("C ≥ 5 %") == (0.05, None)
    assert read_limit("5 % ≤ C < 20 %") == (0.05, 0.2)
    with pytest.raises(BadInput, match="backwards"):
        read_limit("20 - 5")
    with pytest.raises(BadInput, match="not a concentration limit"):
        read_limit("some")


@pytest.mark.parametrize(
    ("column", "typed"),
    [("ph", "15"), ("ph", "acid"), ("additive", "perhaps"), ("ate", "oral 0"), ("m", "0.5")],
)
def test_small_cells_are_checked_too(column: str, typed: str) -> None:
    """PH within 0 to 14, yes or no, estimates above 0, whole M-factors."""
    pasted = read_rows(f"name\trange\t{column}\nA\t5\t{typed}")
    assert [problem.place for problem in pasted.problems] == [f"rows.0.{column}"]

import pytest

from rushlight.hazard.component import Component
from rushlight.hazard.law import Law
from rushlight.hazard.margin import scale
from rushlight.hazard.mixture import Part
from rushlight.hazard.oil import SafetySheet
from rushlight.hazard.paste import read_rows
from rushlight.hazard.recipe import Recipe
from rushlight.quantity.si import Fraction1


def candle(rows: str, load: float = 0.08) -> Recipe:
    """Return a candle of one oil."""
    components: tuple[Component, ...] = read_rows("name,range,classes,m\n" + rows).check()
    oil = SafetySheet(name="oil", components=components)
    return Recipe(name="candle", oils=(Part(oil, Fraction1(1.0)),), load=Fraction1(load))


def loads(rows: str, law: Law = Law.EU) -> dict[str, float]:
    """Return the load of the total at which each class begins."""
    return {mark.says: mark.at.of_total for mark in scale(candle(rows), law).marks}


def test_twelve_percent_linalool_becomes_h317_at_a_twelfth() -> None:
    """1 % / 12 % = 8.333 % of the total, 9.091 % of the wax; EUH208 from 0.833 % (arithmetic)."""
    found = scale(candle("linalool,12,Skin Sens. 1B"), Law.EU)
    first, second = found.marks
    assert (first.says, second.says) == ("EUH208", "Skin Sens. 1")
    assert first.at.of_total == pytest.approx(0.1 / 12)
    assert second.at.of_total == pytest.approx(1 / 12)
    assert second.at.of_wax == pytest.approx(1 / 11)
    assert found.next is not None
    assert found.next.says == "Skin Sens. 1"
    assert found.next.because == ("linalool",)
    assert found.now.of_total == 0.08
    assert found.top > found.next.at.of_total


def test_cut_offs_make_the_sum_jump() -> None:
    """Two irritants of 50 % and 5 %: the small one counts only from 1 % on (arithmetic).

    Together 10 % would be reached at 18.18 %, but below a load of 20 % only the large one
    counts: it needs 20 % by itself.
    """
    assert loads("a,50,Skin Irrit. 2\nb,5,Skin Irrit. 2")["Skin Irrit. 2"] == pytest.approx(0.2)
    assert loads("a,50,Skin Irrit. 2\nb,6,Skin Irrit. 2")["Skin Irrit. 2"] == pytest.approx(1 / 5.6)


def test_a_hazard_no_load_reaches_has_no_mark() -> None:
    """0.5 % of the oil can never be 1 % of the candle."""
    assert "Skin Sens. 1" not in loads("a,0.5,Skin Sens. 1B")


def test_each_aquatic_step_has_its_own_load() -> None:
    """Chronic 1, M 1, 50 % of the oil: 0.25, 2.5 and 25 % of the total (arithmetic)."""
    found = loads("a,50,Aquatic Chronic 1,1")
    assert found["Aquatic Chronic 3"] == pytest.approx(0.005)
    assert found["Aquatic Chronic 2"] == pytest.approx(0.05)
    assert found["Aquatic Chronic 1"] == pytest.approx(0.5)


def test_a_class_that_a_worse_one_covers_has_no_mark() -> None:
    """Chronic 4 begins where Chronic 2 already holds, Skin Corr. 1 and 1C where 1B does."""
    assert set(loads("a,50,Aquatic Chronic 2")) == {"Aquatic Chronic 3", "Aquatic Chronic 2"}
    assert set(loads("a,60,Skin Corr. 1B")) == {
        "Skin Irrit. 2",
        "Skin Corr. 1B",
        "Eye Irrit. 2",
        "Eye Dam. 1",
    }


def test_no_us_mark_speaks_of_water_or_of_euh208() -> None:
    """OSHA regulates neither."""
    found = loads("a,50,Aquatic Chronic 1; Skin Sens. 1B,1", Law.US)
    assert set(found) == {"Skin Sens. 1"}

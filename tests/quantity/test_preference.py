"""A maker's preferences, from words."""

import pytest

from rushlight.errors import BadInput
from rushlight.quantity import preference
from rushlight.quantity.preference import METRIC, US, Preference
from rushlight.quantity.si import Kilogram


def test_words_become_a_preference() -> None:
    """What is left out stays as it was."""
    words = {"mass": "oz", "decimal": ",", "readability": "0.1 g", "paper": "A4"}
    assert preference.read(words) == Preference(
        mass="oz", decimal=",", readability=Kilogram(0.0001)
    )
    assert preference.read({}, base=US) == US
    assert preference.read({"temperature": "F"}).temperature == "F"
    assert Preference() == METRIC


def test_every_wrong_word_is_named_at_once() -> None:
    """Each at its field, with what to choose from."""
    words = {"mass": "stone", "currency": "groats", "readability": "0 g", "length": "mm"}
    with pytest.raises(BadInput) as caught:
        preference.read(words)
    places = {problem.place: problem.remedy for problem in caught.value.problems}
    assert set(places) == {"mass", "currency", "readability"}
    assert places["mass"] == "Choose from “g”, “oz”."


@pytest.mark.parametrize("text", ["0 g", "2 kg", "0.00001 mg", "8 fl oz", "fine"])
def test_a_readability_is_what_a_scale_can_show(text: str) -> None:
    """From a tenth of a milligram to a kilogram."""
    with pytest.raises(BadInput):
        preference.read({"readability": text})


@pytest.mark.parametrize("step", [0.0, -0.001, float("nan"), float("inf")])
def test_a_scale_without_a_step_is_the_programs_own_mistake(step: float) -> None:
    """Nothing could be rounded to it."""
    with pytest.raises(ValueError, match="readability"):
        Preference(readability=Kilogram(step))

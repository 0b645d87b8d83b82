"""Good and rejected jars beside what can have been poured: asked about, never refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.quantity.preference import Preference
from rushlight.quantity.si import Kilogram
from rushlight.workshop import Workshop, pours, settings
from rushlight.workshop.pours import PourState
from rushlight.workshop.stores import jars
from rushlight.workshop.stores.jar_count import Fillable
from tests.support.bench import equip, receive, running, stock

SHOWN = Preference()
PLAN = Fillable(
    wanted=24, vessels=24, fill=Kilogram(0.2), mix=Kilogram(4.8), allowed=Kilogram(0.06)
)
"""24 jars of 200 g, with 60 g for the pot and for spills."""


@pytest.fixture
def shop(empty: Workshop) -> Workshop:
    """Return a small workshop with jars, wicks and 9 kg of wax."""
    equip(empty)
    stock(empty)
    receive(empty, "test-soy", "9 kg", "45")
    return empty


def _asked(shop: Workshop, pour: int, typed: dict[str, str]) -> str:
    """Return the question a finish leads to; nothing else is wrong, and nothing is written."""
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, pour, typed)
    (problem,) = caught.value.problems
    assert problem.place == "jars_differ"
    assert problem.remedy == "Correct the counts or what was weighed, or say why the jars differ."
    assert pours.get(shop, pour).state == PourState.RUNNING
    return problem.what


# weighed [kg], vessels, good, rejected -> the question, worked by hand
TAKEN = "jars were poured, by the vessels taken; "
HALF = "What was weighed and not left over, 2400 g, fills 12 jars of 200 g; "


@pytest.mark.parametrize(
    ("mix", "vessels", "good", "rejected", "said"),
    [
        (4.8, 24, 24, 0, ""),
        (4.8, 24, 20, 4, ""),
        (4.8, 24, 0, 24, ""),
        (4.8, 24, 240, 0, f"24 {TAKEN}240 good and none rejected are 216 too many."),
        (4.8, 24, 24, 1, f"24 {TAKEN}24 good and 1 rejected are 1 too many."),
        (4.8, 24, 20, 1, "24 jars were poured; 20 good and 1 rejected leave 3 unaccounted for."),
        # two spares: for tests, or not poured at all
        (5.2, 26, 24, 0, ""),
        (5.2, 26, 26, 0, ""),
        (
            *(5.2, 26, 22, 1),
            "26 jars were poured, 2 of them spare; 22 good and 1 rejected leave 3 unaccounted for.",
        ),
        # two vessels left over, and the mix for them
        (4.4, 22, 22, 0, ""),
        (4.4, 22, 24, 0, f"22 {TAKEN}24 good and none rejected are 2 too many."),
        # half as much weighed: 12 jars, or by eye and scraped (2.4 + 0.06) / 0.19 = 12.9
        (2.4, 24, 12, 0, ""),
        (2.4, 24, 20, 1, f"{HALF}20 good and 1 rejected are 9 too many."),
        (2.4, 24, 9, 0, f"{HALF}9 good and none rejected leave 3 unaccounted for."),
        # a little less: 23.4 jars, and (4.68 + 0.06) / 0.19 = 24.9, so 23 or 24
        (4.68, 24, 23, 0, ""),
        (4.68, 24, 24, 0, ""),
        # more than planned makes no more vessels
        (9.6, 24, 25, 0, f"24 {TAKEN}25 good and none rejected are 1 too many."),
        (4.8, 1, 1, 0, ""),
        (
            *(4.8, 1, 2, 0),
            "1 jar was poured, by the vessels taken; 2 good and none rejected are 1 too many.",
        ),
    ],
)
def test_what_cannot_be_is_asked_about_with_its_numbers(
    mix: float, vessels: int, good: int, rejected: int, said: str
) -> None:
    """Too many by the vessels or by the mix, or some that nobody accounts for."""
    pour = replace(PLAN, mix=Kilogram(mix), vessels=vessels)
    assert pour.question(good, rejected, SHOWN) == said


@given(
    wanted=st.integers(1, 500),
    spares=st.integers(0, 20),
    fill=st.floats(0.02, 2.0),
    allowed=st.floats(0.0, 1.0),
)
def test_what_was_planned_and_poured_is_never_asked_about(
    wanted: int, spares: int, fill: float, allowed: float
) -> None:
    """All the jars poured, however the figures are rounded; one more, or one wanted less, is."""
    poured = wanted + spares
    pour = Fillable(
        wanted=wanted,
        vessels=poured,
        fill=Kilogram(fill),
        mix=Kilogram(poured * fill),
        allowed=Kilogram(allowed),
    )
    assert pour.question(poured, 0, SHOWN) == pour.question(0, poured, SHOWN) == ""
    assert pour.question(wanted, 0, SHOWN) == ""
    assert pour.question(poured + 1, 0, SHOWN)
    assert pour.question(wanted - 1, 0, SHOWN)


@given(
    mix=st.floats(-1.0, 20.0),
    vessels=st.integers(0, 40),
    good=st.integers(0, 100),
    rejected=st.integers(0, 100),
)
def test_some_count_always_goes_without_a_question(
    mix: float, vessels: int, good: int, rejected: int
) -> None:
    """Whatever was weighed, the fewest are not more than the most, and only outside is asked."""
    pour = replace(PLAN, mix=Kilogram(mix), vessels=vessels)
    assert 0 <= pour.fewest <= pour.most <= vessels
    asked = pour.question(good, rejected, SHOWN)
    assert bool(asked) != (pour.fewest <= good + rejected <= pour.most)


def test_a_digit_too_many_makes_no_jars(shop: Workshop) -> None:
    """100 typed for 10 is asked about; nothing is made at a tenth of its cost."""
    pour = running(shop)
    said = _asked(shop, pour, {"good": "100"})
    assert said.startswith("10 jars were poured")
    assert said.endswith("90 too many.")
    assert jars.listing(shop) == ()


def test_the_reason_lets_it_through_and_is_kept_in_the_note(shop: Workshop) -> None:
    """The bench is right; whoever reads the pour later is told how and why they differ."""
    pour = running(shop)
    typed = {"good": "7", "rejected.soot": "1", "note": "Windy", "jars_differ": " two went  home "}
    done = pours.finish(shop, pour, typed)
    assert (done.good, done.rejected) == (7, 1)
    assert done.note == (
        "Windy\n10 jars were poured; 7 good and 1 rejected leave 2 unaccounted for. two went home"
    )
    many = pours.finish(shop, running(shop), {"good": "11", "jars_differ": "one glass from home"})
    assert jars.get(shop, many.jar_lot).line.made == 11
    assert many.note.endswith("are 1 too many. one glass from home")


def test_a_reason_for_nothing_leaves_no_note(shop: Workshop) -> None:
    """Where the counts agree there is nothing to tell."""
    assert pours.finish(shop, running(shop), {"jars_differ": "who knows"}).note == ""


def test_what_the_scale_said_counts_and_what_is_left_over(shop: Workshop) -> None:
    """Of 2 kg for ten jars 1.2 kg were weighed, 200 g of them left: five jars of 200 g.

    Five tumblers left over say the same without the wax.
    """
    pour = running(shop)
    pours.tick(shop, pour, 1, pours.get(shop, pour).pots[0].lines[0].key, "1200 g")
    typed = {"left.test-soy.amount": "200 g"}
    assert "1000 g, fills 5 jars of 200 g; 10 good" in _asked(shop, pour, typed)
    assert pours.finish(shop, pour, {**typed, "good": "5"}).note == ""
    other = running(shop)
    glasses = {"left.test-tumbler.amount": "5"}
    assert _asked(shop, other, glasses).startswith("5 jars were poured, by the vessels taken")
    assert pours.finish(shop, other, {**glasses, "good": "4", "rejected": "1"}).note == ""


def test_a_spare_need_not_be_told_of(shop: Workshop) -> None:
    """It is for tests and accidents; but with it there may be one jar more."""
    settings.change(shop, {"spares": "1"})
    for good in ("10", "11"):
        assert pours.finish(shop, running(shop), {"good": good}).note == ""
    assert "leave 2 unaccounted for" in _asked(shop, running(shop), {"good": "9"})


def test_the_question_waits_until_the_counts_can_be_read(shop: Workshop) -> None:
    """One thing at a time; a reason and a note too long for the page are refused as such."""
    pour = running(shop)
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, pour, {"good": "ten", "rejected": "99"})
    assert [problem.place for problem in caught.value.problems] == ["good"]
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, pour, {"good": "1", "jars_differ": "fell", "note": "x" * 4990})
    assert [problem.place for problem in caught.value.problems] == ["note"]
    with pytest.raises(BadInput) as caught:
        pours.finish(shop, pour, {"good": "1", "jars_differ": "x" * 201})
    assert [problem.place for problem in caught.value.problems] == ["jars_differ"]

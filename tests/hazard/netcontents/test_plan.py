"""The reference test: weighed whole, first and second sample, opened jars; where to aim."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.hazard.netcontents.category_a import category_a
from rushlight.hazard.netcontents.directive import Directive, directive
from rushlight.hazard.netcontents.lot import judge, pooled, read_label
from rushlight.hazard.netcontents.plan import BelowT1, plan
from rushlight.hazard.netcontents.target import Scatter, Test, aim, chance
from rushlight.hazard.netcontents.weights import Weights
from rushlight.quantity.si import Fraction1, Kilogram

NOMINAL = Kilogram(0.180)  # TNE 8.1 g: T1 171.9 g, T2 163.8 g


def jars(good: int, light: int) -> Weights:
    """Return weights: the light ones (below T1, above T2) first, none makes the mean fail."""
    grams = [170.0] * light + [184.0] * good
    return Weights(tuple(Kilogram(g * 1e-3) for g in grams), "")


def judged(good: int, light: int, *, batch: int = 200, destructive: bool = False) -> Directive:
    """Return the test of so many good and light jars."""
    return directive(jars(good, light), nominal=NOMINAL, batch=batch, destructive=destructive)


@pytest.mark.parametrize(
    ("good", "light", "passes", "further"),
    [
        (29, 1, True, 0),  # 30 weighed, accept with at most 1
        (28, 2, False, 30),  # between: 30 more are weighed
        (27, 3, False, 0),  # reject from 3
        (56, 4, False, 0),  # 60 weighed; but 4 of the first 30 fail by themselves
    ],
)
def test_the_first_stage_accepts_rejects_or_asks_for_more(
    good: int, light: int, *, passes: bool, further: int
) -> None:
    """76/211/EEC, Annex II, 2.2 (from memory): 30: 1/3, then 60 in all: 4/5."""
    found = judged(good, light)
    assert found.passes is passes
    assert found.further == further
    assert found.undecided is (further > 0)
    assert ("undecided" in found.verdict) is (further > 0)


@pytest.mark.parametrize(("late", "passes"), [(2, True), (3, False)])
def test_the_second_stage_counts_both_samples(late: int, *, passes: bool) -> None:
    """Two light among the first 30 and so many among the next 30: at most 4 of 60."""
    first = [170.0] * 2 + [184.0] * 28
    second = [170.0] * late + [184.0] * (30 - late)
    weights = Weights(tuple(Kilogram(g * 1e-3) for g in first + second), "")
    found = directive(weights, nominal=NOMINAL, batch=200)
    assert (found.passes, found.undecided) == (passes, False)
    assert found.allowed_below_t1 == 4


def test_twenty_opened_jars_are_enough_in_one_stage() -> None:
    """76/211/EEC, Annex II (from memory): 20, accept with 1, reject from 2."""
    assert judged(19, 1, destructive=True).passes
    failed = judged(18, 2, destructive=True)
    assert (failed.passes, failed.undecided, failed.sample) == (False, False, 20)
    with pytest.raises(BadInput, match="too small"):
        plan(99, destructive=True)


@pytest.mark.parametrize(
    ("batch", "first", "both"), [(100, 30, 60), (501, 50, 100), (3201, 80, 160), (10_000, 80, 160)]
)
def test_the_plan_grows_with_the_batch(batch: int, first: int, both: int) -> None:
    """76/211/EEC, Annex II, 2.2.1 (from memory)."""
    found = plan(batch)
    assert found.first.sample == first
    assert found.second is not None
    assert found.second.sample == both
    assert found.second.reject == found.second.accept + 1


def test_germany_allows_two_in_a_hundred() -> None:
    """FPackV (legal text) 2 %, packers' guide (secondary source) 2.5 %: 80 jars, 1 against 2."""
    assert plan(80).first.accept == 2
    assert plan(80, below_t1=BelowT1.GERMANY).first.accept == 1
    with pytest.raises(BadInput):
        plan(10_001)


@given(light=st.integers(0, 59), good=st.integers(1, 60))
def test_a_heavier_jar_never_makes_a_batch_worse(light: int, good: int) -> None:
    """Order of outcomes: fails, undecided, passes."""

    def rank(found: Directive) -> int:
        return 2 if found.passes else 1 if found.undecided else 0

    before, after = judged(good, light + 1), judged(good + 1, light)
    assert rank(before) <= rank(after)


@pytest.mark.parametrize("grams", [0.3, 0.8, 1.4, 3.0])
@pytest.mark.parametrize("lot", [3, 12, 40, 200])
@pytest.mark.parametrize("test", Test)
def test_the_aim_is_the_nearest_that_suffices(grams: float, lot: int, test: Test) -> None:
    """It was once put into a gap of SciPy's tail function, far above: so look all around it."""
    label, scatter = Kilogram(0.2268), Scatter(grams * 1e-3, 10)
    found = aim(label=label, scatter=scatter, lot=lot, passing=Fraction1(0.99), test=test)
    assert label <= found.fill <= found.cautious < label + 10 * scatter.upper
    step = 0.05 * scatter.deviation
    for at in range(200):
        excess = at * step
        sure = chance(excess=excess, scatter=scatter.deviation, label=label, lot=lot, test=test)
        assert (sure >= 0.99 - 1e-6) is (excess >= found.fill - label - 1e-8)


def test_a_verdict_on_part_of_the_sample_says_so() -> None:
    """Six of a batch of 23, or of a lot of 40: it would pass, which is not that it does."""
    weights = jars(6, 0)
    for found in (
        directive(weights, nominal=NOMINAL, batch=23).verdict,
        category_a(weights, label=NOMINAL, lot=40).verdict,
    ):
        assert "would pass" in found
        assert "passes" not in found
        assert "only 6 were" in found


def test_a_label_of_two_units_counts_by_the_larger() -> None:
    """NIST SP 1038, 4.4.1.2 (legal text): 8 oz = 226.796 g against 226 g or 227 g."""
    assert read_label("Net Wt 8 oz (226 g)") == pytest.approx(0.226796185)
    assert read_label("8 oz / 227 g") == pytest.approx(0.227)
    assert read_label("220 g ℮") == pytest.approx(0.220)
    for text in ("", "()", "0 g", "abc", "8 fl oz", "1000 kg", "g" * 10_000):
        with pytest.raises(BadInput):
            read_label(text)


def test_scatter_of_several_lots_is_that_within_them() -> None:
    """Two lots with means far apart and the same spread: s of 1, 2, 3 is 1 (arithmetic)."""
    found = pooled([(1.0, 2.0, 3.0), (11.0, 12.0, 13.0)])
    assert (found.deviation, found.jars) == (1.0, 5)
    assert pooled([]).jars == 1
    assert pooled([(), (1.0,)]).jars == 1


def test_a_test_that_cannot_answer_says_why_and_the_other_still_does() -> None:
    """A label beyond the table Rushlight carries has no MAV; the EU test goes on."""
    weights = Weights((Kilogram(2.5), Kilogram(2.51)), "")
    found = judge(weights, label=Kilogram(2.5), lot=2)
    assert found.hb133 is None
    assert found.eu is not None
    assert any("table" in problem.what for problem in found.unanswered)
    one = judge(Weights((Kilogram(0.2),), ""), label=Kilogram(0.2), lot=1)
    assert one.aims == ()
    assert any("scatter" in problem.what for problem in one.unanswered)

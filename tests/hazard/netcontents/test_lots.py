from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.hazard.data import net_table
from rushlight.hazard.netcontents.category_a import category_a, mav
from rushlight.hazard.netcontents.directive import directive, tne
from rushlight.hazard.netcontents.quantile import mean_factor
from rushlight.hazard.netcontents.target import Scatter, Test, aim, chance, scatter_of
from rushlight.hazard.netcontents.weights import Weights, read_weights
from rushlight.quantity.si import Fraction1, Kilogram

GRAM = 1e-3
# computed for this purpose, not published: label 227 g, lot of 40, n = 12, errors in grams
ERRORS = (1.2, -0.8, 0.4, -1.5, 0.9, -0.3, -2.1, 0.7, -0.6, 0.2, -1.1, -0.4)


def grams(values: Sequence[float]) -> Weights:
    """Return weights from grams."""
    return Weights(tuple(Kilogram(value * GRAM) for value in values), "")


def lot(shift: float = 0.0) -> Weights:
    """Return the twelve jars, each shifted by some grams."""
    return grams([227.0 + error + shift for error in ERRORS])


@pytest.mark.parametrize("n", [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 24, 48])
def test_t_quantiles_regenerate_the_us_factors(n: int) -> None:
    """NIST Handbook 133, Table 2-1 (from memory): t(0.975, n − 1)/√n to three places.

    The printed 0.291 for 48 is 0.2904 by the quantile; every other row agrees.
    """
    printed = net_table("handbook133")["factor"][str(n)]
    assert mean_factor(0.975, n) == pytest.approx(printed, abs=0.0007)


@pytest.mark.parametrize(("n", "printed"), [(30, 0.503), (50, 0.379), (20, 0.640)])
def test_t_quantiles_regenerate_the_european_factors(n: int, printed: float) -> None:
    """SI 2006/659 Schedule 2 paragraph 4 (legal text): t(0.995, n − 1)/√n to three places."""
    assert mean_factor(0.995, n) == pytest.approx(printed, abs=0.0006)
    data = net_table("eu")["mean"]
    assert printed in {*(row["factor"] for row in data["row"]), data["destructive"]["factor"]}


def test_twelve_jars_pass_category_a() -> None:
    """Mean −0.2833, s 1.00438, SEL 0.6378, mean + SEL = +0.354 ≥ 0 (arithmetic, not published)."""
    found = category_a(lot(), label=Kilogram(0.227), lot=40)
    assert found.mean / GRAM == pytest.approx(-0.2833, abs=5e-5)
    assert found.deviation / GRAM == pytest.approx(1.00438, abs=5e-6)
    assert found.sel / GRAM == pytest.approx(0.6378, abs=5e-4)
    assert found.mav / GRAM == pytest.approx(12.7)
    assert found.passes
    assert "passes" in found.verdict


def test_the_same_jars_lighter_fail_category_a() -> None:
    """Every jar 0.6 g lighter: mean −0.8833, mean + SEL = −0.2455 (arithmetic)."""
    found = category_a(lot(-0.6), label=Kilogram(0.227), lot=40)
    assert (found.mean + found.sel) / GRAM == pytest.approx(-0.2455, abs=5e-4)
    assert not found.passes
    assert "fails" in found.verdict


def test_one_unreasonable_shortage_fails_a_good_average() -> None:
    """NIST Handbook 133: no jar short by more than the MAV (12.7 g at 227 g)."""
    found = category_a(grams([240.0] * 11 + [214.2]), label=Kilogram(0.227), lot=12)
    assert found.average_holds
    assert not found.singles_hold
    assert "jar 12" in found.verdict


@pytest.mark.parametrize(
    ("label_g", "mav_g"), [(113, 7.2), (226.796, 12.7), (454, 19.9), (36, 3.6), (208, 10.8)]
)
def test_variation_by_label_weight(label_g: float, mav_g: float) -> None:
    """NIST Handbook 133, Table 2-5 (from memory; anchors 8 oz and 113 g by secondary sources)."""
    assert mav(Kilogram(label_g * GRAM)) / GRAM == pytest.approx(mav_g)


def test_the_gram_column_agrees_with_the_pound_column() -> None:
    """Each gram figure is the pound figure × 453.59237 cut off (exact factor, HB 44 App. C).

    To a tenth of a gram, from 49 g on to a whole one; bounds to three figures at most.
    """
    for row in net_table("handbook133")["mav"]["row"]:
        step = 0.1 if row["mav_g"] < 49.0 else 1.0
        assert 0.0 <= row["mav_lb"] * 453.59237 - row["mav_g"] < step
        assert row["up_to_lb"] * 453.59237 == pytest.approx(row["up_to_g"], rel=0.01)


@pytest.mark.parametrize(
    ("nominal_g", "tne_g"),
    [(45, 4.1), (60, 4.5), (130, 5.9), (180, 8.1), (220, 9.0), (350, 10.5), (600, 15.0)],
)
def test_tolerable_negative_errors(nominal_g: float, tne_g: float) -> None:
    """FPackV section 9(3), same table; percentages rounded up to the next 0.1 g (arithmetic)."""
    assert tne(Kilogram(nominal_g * GRAM)) / GRAM == pytest.approx(tne_g)


@pytest.mark.parametrize("edge", [50, 100, 200, 300, 500, 1000])
def test_the_tolerance_is_continuous_at_every_edge(edge: float) -> None:
    """The table's percentages and grams meet where one row ends (arithmetic)."""
    below, above = tne(Kilogram(edge * GRAM)), tne(Kilogram((edge + 1e-6) * GRAM))
    assert above - below == pytest.approx(0.0, abs=0.11 * GRAM)


def test_t1_and_t2_of_a_180_gram_candle() -> None:
    """180 g: TNE 8.1, T1 171.9, T2 163.8 (arithmetic)."""
    found = directive(grams([181.0, 182.0]), nominal=Kilogram(0.180), batch=2)
    assert (found.t1 / GRAM, found.t2 / GRAM) == pytest.approx((171.9, 163.8))


def test_small_batches_are_weighed_whole_and_the_mean_must_reach_the_nominal() -> None:
    """SI 2006/659 Schedule 2: under 100, mean ≥ nominal with no allowance."""
    assert directive(grams([180.0, 180.0, 180.0]), nominal=Kilogram(0.180), batch=3).passes
    short = directive(grams([180.0, 180.0, 179.9]), nominal=Kilogram(0.180), batch=3)
    assert not short.mean_holds
    assert "under" in short.verdict


def test_a_jar_below_t2_fails_whatever_the_mean() -> None:
    """76/211/EEC: none below T2, few below T1."""
    found = directive(grams([200.0] * 59 + [163.0]), nominal=Kilogram(0.180), batch=60)
    assert found.mean_holds
    assert not found.passes
    assert "may not be sold" in found.verdict
    one = directive(grams([200.0] * 59 + [170.0]), nominal=Kilogram(0.180), batch=60)
    assert one.passes  # 2.5 % of 60 is one jar


def test_a_sampled_batch_has_the_allowance_of_the_factor() -> None:
    """Batch of 200, n = 30: accepted from nominal − 0.503 s on."""
    spread = [179.5 + 0.1 * (i % 5) for i in range(30)]  # mean 179.7, s about 0.144
    found = directive(grams(spread), nominal=Kilogram(0.180), batch=200)
    assert found.sample == 30
    assert found.least_mean == pytest.approx(0.180 - 0.503 * found.deviation, abs=1e-7)
    assert not found.passes


def test_too_few_weighed_is_said() -> None:
    """The plan's number stands beside what was weighed."""
    assert "only 5 were" in category_a(grams([228.0] * 5), label=Kilogram(0.227), lot=40).verdict
    assert "only 5 were" in directive(grams([228.0] * 5), nominal=Kilogram(0.2), batch=200).verdict


def test_impossible_lots_are_refused() -> None:
    """More weights than jars; weights beyond the table."""
    with pytest.raises(BadInput, match="cannot come from"):
        category_a(lot(), label=Kilogram(0.227), lot=5)
    with pytest.raises(BadInput, match="cannot come from"):
        directive(lot(), nominal=Kilogram(0.227), batch=5)
    with pytest.raises(BadInput, match="beyond"):
        mav(Kilogram(3.0))


def test_weights_are_read_from_a_column_or_a_row() -> None:
    """Points or commas, with or without g, tare taken off."""
    assert read_weights("226.8\n227,1 g\n225").masses == pytest.approx((0.2268, 0.2271, 0.225))
    assert read_weights("226.8, 227.1, 225", tare=Kilogram(0.1)).masses[0] == pytest.approx(0.1268)


@pytest.mark.parametrize(
    ("typed", "place"), [("226 abc", "weights.1"), ("226 227 22.6", "weights.2"), (" ", "weights")]
)
def test_slips_of_the_keys_are_found(typed: str, place: str) -> None:
    """A word, a slipped point, nothing at all."""
    assert read_weights(typed).problems[0].place == place


@given(st.lists(st.floats(200, 260), min_size=2, max_size=12), st.floats(0.0, 5.0))
def test_heavier_jars_never_turn_a_pass_into_a_fail(values: list[float], more: float) -> None:
    """Adding the same to every jar keeps every test passed that was passed."""
    label, n = Kilogram(0.227), len(values)
    before, after = grams(values), grams([value + more for value in values])
    assert (
        category_a(before, label=label, lot=n).passes
        <= category_a(after, label=label, lot=n).passes
    )
    first = directive(before, nominal=label, batch=n).passes
    assert first <= directive(after, nominal=label, batch=n).passes


@pytest.mark.parametrize(("test", "size"), [(Test.CATEGORY_A, 40), (Test.DIRECTIVE, 40)])
def test_the_suggested_fill_passes_as_many_lots_as_asked(test: Test, size: int) -> None:
    """Monte Carlo with a fixed seed: 4000 lots at the suggested fill pass 95 % or a bit more."""
    label, sigma = Kilogram(0.227), 1.5 * GRAM
    fill = aim(
        label=label, scatter=Scatter(sigma, 30), lot=size, passing=Fraction1(0.95), test=test
    ).fill
    drawn = np.random.default_rng(7).normal(fill, sigma, (4000, size))
    if test is Test.CATEGORY_A:
        drawn = drawn[:, :12]
        factor = mean_factor(0.975, 12)
        passed = drawn.mean(axis=1) + factor * drawn.std(axis=1, ddof=1) >= label
        passed &= (drawn >= label - mav(label)).all(axis=1)
    else:
        passed = drawn.mean(axis=1) >= label
        passed &= (drawn < label - tne(label)).sum(axis=1) <= 1
    share = float(passed.mean())
    assert 0.94 <= share <= 0.985


def test_an_aim_at_the_label_already_passes_the_us_average_most_of_the_time() -> None:
    """t(0.975) leaves 2.5 % of lots failing with no excess at all, so 97 % need none."""
    found = aim(
        label=Kilogram(0.227),
        scatter=Scatter(1.0 * GRAM, 20),
        lot=40,
        passing=Fraction1(0.97),
        test=Test.CATEGORY_A,
    )
    assert found.fill == pytest.approx(0.227)
    assert chance(
        excess=0.0, scatter=GRAM, label=Kilogram(0.227), lot=40, test=Test.CATEGORY_A
    ) == pytest.approx(0.975, abs=1e-6)


@pytest.mark.parametrize("test", list(Test))
def test_more_scatter_or_fewer_jars_ask_for_more_fill(test: Test) -> None:
    """The aim grows with scatter; the cautious aim lies above the plain one."""

    def at(scatter: float, jars: int) -> tuple[float, float]:
        found = aim(
            label=Kilogram(0.227),
            scatter=Scatter(scatter * GRAM, jars),
            lot=60,
            passing=Fraction1(0.99),
            test=test,
        )
        return found.fill, found.cautious

    assert at(1.0, 12)[0] < at(2.0, 12)[0]
    assert at(1.0, 12)[0] < at(1.0, 12)[1]
    assert at(1.0, 6)[1] > at(1.0, 60)[1]


def test_the_upper_scatter_is_the_chi_square_limit() -> None:
    """N = 11: χ²(0.10, 10) = 4.865 (printed tables), so s grows by √(10/4.865) = 1.4337."""
    assert Scatter(1.0, 11).upper == pytest.approx(1.4337, abs=5e-4)
    assert scatter_of(lot()).jars == 12


@pytest.mark.parametrize(
    ("scatter", "jars", "size", "passing"),
    [(0.0, 12, 40, 0.95), (1.0, 1, 40, 0.95), (1.0, 12, 0, 0.95), (1.0, 12, 40, 1.0)],
)
def test_an_aim_needs_something_to_go_by(
    scatter: float, jars: int, size: int, passing: float
) -> None:
    """No scatter, one jar, no lot, every lot: each refused with a remedy."""
    with pytest.raises(BadInput):
        aim(
            label=Kilogram(0.227),
            scatter=Scatter(scatter * GRAM, jars),
            lot=size,
            passing=Fraction1(passing),
            test=Test.DIRECTIVE,
        )

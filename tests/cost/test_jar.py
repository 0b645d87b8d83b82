"""The cost of a jar: labour, overhead, scrap, and that the parts add up."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.cost.jar import Costing, Use, jar_cost
from rushlight.cost.labour import Per, Step, labour
from rushlight.cost.overhead import Overhead
from rushlight.errors import BadInput

D = Decimal
COSTING = Costing(
    materials=(Use("wax", D("0.17"), "kg", D("6.20")), Use("vessel", D(1), "piece", D("1.10"))),
    packaging=(Use("box", D(1), "piece", D("0.42")),),
    scrap=D("0.04"),
    steps=(Step("pour", D(36), Per.BATCH), Step("label", D(2), Per.JAR)),
    rate=D(15),
    jars=12,
    overhead=Overhead(per_month=D(120), jars_per_month=D(200), per_jar=D("0.10")),
)
MONEY = st.decimals(0, 100, places=4)
USES = st.lists(
    st.builds(Use, st.just("thing"), st.decimals(0, 10, places=6), st.just("kg"), MONEY), max_size=5
).map(tuple)
COSTINGS = st.builds(
    Costing,
    materials=USES,
    packaging=USES,
    scrap=st.decimals(0, D("0.9"), places=3),
    steps=st.lists(st.builds(Step, st.just("work"), MONEY, st.sampled_from(Per)), max_size=4).map(
        tuple
    ),
    rate=MONEY,
    jars=st.integers(1, 200),
    overhead=st.builds(
        Overhead, per_month=MONEY, jars_per_month=st.decimals(1, 500, places=1), per_jar=MONEY
    ),
)


def test_a_jar_by_hand() -> None:
    """Materials 0.17·6.20 + 1.10 = 2.154; labour (36/12 + 2) min at 15/h = 1.25.

    Scrap (2.154 + 1.25)·0.04/0.96 = 0.141833…; overhead 120/200 + 0.10 = 0.70;
    with the box of 0.42 in all 4.665833….
    """
    cost = jar_cost(COSTING)
    assert cost.material == D("2.154")
    assert cost.labour.cost == D("1.25")
    assert cost.scrap == pytest.approx(D("0.1418333333"))
    assert cost.overhead == D("0.70")
    assert cost.total == pytest.approx(D("4.6658333333"))
    assert cost.variable == cost.total - cost.overhead


@given(COSTINGS)
def test_the_parts_add_up_to_the_total_exactly(costing: Costing) -> None:
    """The named parts are the total, and each list is its part, to the last digit."""
    cost = jar_cost(costing)
    assert sum((part for _, part in cost.parts()), D(0)) == cost.total
    assert sum((use.cost for use in cost.materials), D(0)) == cost.material
    assert cost.total >= 0


@given(COSTINGS, st.decimals(0, 10, places=3))
def test_raising_any_cost_never_lowers_the_total(costing: Costing, more: Decimal) -> None:
    """Dearer wax, slower work, a higher rate, more scrap or overhead: never cheaper."""
    base = jar_cost(costing).total
    extra = Use("extra", D(1), "piece", more)
    dearer = (
        replace(costing, materials=(*costing.materials, extra)),
        replace(costing, packaging=(*costing.packaging, extra)),
        replace(costing, rate=costing.rate + more),
        replace(costing, steps=(*costing.steps, Step("more", more, Per.JAR))),
        replace(costing, scrap=min(costing.scrap + more / 200, D("0.99"))),
        replace(
            costing,
            overhead=replace(costing.overhead, per_month=costing.overhead.per_month + more),
        ),
    )
    assert all(jar_cost(case).total >= base for case in dearer)


def test_scrap_pays_for_the_jars_that_are_not_sold() -> None:
    """Of 100 poured 96 are sold: 96 sold jars bear the materials and labour of 100."""
    cost = jar_cost(replace(COSTING, overhead=Overhead(), packaging=()))
    poured = cost.material + cost.labour.cost
    assert 96 * cost.total == pytest.approx(100 * poured)


def test_a_batch_step_is_shared_and_a_jar_step_is_not() -> None:
    """36 minutes a batch of 12 are 3 a jar; 2 minutes a jar are 2."""
    work = labour(COSTING.steps, rate=D(15), jars=12)
    assert [minutes for _, minutes in work.steps] == [3, 2]
    assert work.minutes == 5


def test_overhead_without_a_month_needs_no_jars() -> None:
    """Per jar alone is enough; a month's overhead needs the jars that share it."""
    assert Overhead(per_jar=D("0.60")).of_a_jar() == D("0.60")
    with pytest.raises(BadInput) as caught:
        jar_cost(replace(COSTING, overhead=Overhead(per_month=D(120))))
    assert [p.place for p in caught.value.problems] == ["jars_per_month"]


def test_bad_figures_of_a_jar_are_all_named() -> None:
    """Every wrong figure at once, each at its place with a remedy."""
    bad = Costing(
        materials=(Use("wax", D("NaN"), "kg", D(-1)),),
        packaging=(Use("box", D(1), "piece", D("Infinity")),),
        scrap=D(1),
        steps=(Step("pour", D(-5), Per.JAR),),
        rate=D(-15),
        jars=0,
        overhead=Overhead(per_month=D(-1), per_jar=D("NaN")),
    )
    with pytest.raises(BadInput) as caught:
        jar_cost(bad)
    assert {p.place for p in caught.value.problems} == {
        "materials.0.amount",
        "materials.0.price",
        "packaging.0.price",
        "scrap",
        "labour.0.minutes",
        "rate",
        "jars",
        "overhead",
        "overhead_per_jar",
    }
    assert all(p.remedy for p in caught.value.problems)

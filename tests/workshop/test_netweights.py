"""Weighed jars at the bench: kept as typed, judged, undone, aimed."""

from __future__ import annotations

import pytest
from sqlalchemy.exc import IntegrityError

from rushlight.errors import BadInput, NotFound
from rushlight.workshop import Workshop, netweights, settings, undo
from rushlight.workshop.netweights import Test

COLUMN = "228.4\n229,1\n228.7 g\n227.9\n229.6\n228.2"


def places(bad: pytest.ExceptionInfo[BadInput]) -> set[str]:
    """Return where the problems are."""
    return {problem.place for problem in bad.value.problems}


def test_a_lot_is_kept_as_typed_and_as_weighed(shop: Workshop) -> None:
    """Masses are whole milligrams; the lot is the good jars of the pour."""
    lot = netweights.save_lot(shop, "slipway", 1, COLUMN, "8 oz (226 g)", note="first six")
    assert (lot.typed, lot.label_typed, lot.note) == (COLUMN, "8 oz (226 g)", "first six")
    # the larger of the two declared counts: 8 oz = 226.796 g (16 CFR 500.19; exact ounce)
    assert lot.label == pytest.approx(0.226796, abs=1e-6)
    assert lot.masses == pytest.approx((0.2284, 0.2291, 0.2287, 0.2279, 0.2296, 0.2282))
    assert lot.jars == 23  # good ones of the demonstration's first pour
    assert netweights.get(shop, lot.id) == lot
    assert netweights.lots(shop, "slipway")[0] == lot


def test_the_tests_are_those_of_the_workshop(shop: Workshop) -> None:
    """One system or both; the German figure where she chose it."""
    for system, tests in (("us", (True, False)), ("eu", (False, True)), ("both", (True, True))):
        settings.change(shop, {"net_quantity": system})
        found = netweights.verdict(shop, COLUMN, "226 g")
        assert (found.hb133 is not None, found.eu is not None) == tests
    fifty = " ".join(["230"] * 49 + ["215"])  # T1 of 226 g is 217 g: TNE 9 g
    usual = netweights.verdict(shop, fifty, "226 g", tests=[Test.DIRECTIVE])
    # one of 50 is 2 %: within 2.5 % (1.25, so one) and within Germany's 2 % (1.0, so one)
    assert usual.eu is not None
    assert usual.eu.allowed_below_t1 == 1
    forty = " ".join(["230"] * 39 + ["215"])
    settings.change(shop, {"below_t1": "2 %"})
    german = netweights.verdict(shop, forty, "226 g", tests=[Test.DIRECTIVE])
    assert german.eu is not None
    assert (german.eu.allowed_below_t1, german.eu.passes) == (0, False)


def test_a_lot_can_be_undone_and_done_again(shop: Workshop) -> None:
    """By marks beside the record: the record itself never changes."""
    before = netweights.lots(shop)
    lot = netweights.save_lot(shop, "slipway", None, COLUMN, "226 g")
    deed = undo.latest(shop, f"lot:{lot.id}")
    assert deed is not None
    undone = undo.undo(shop, deed.id)
    assert netweights.lots(shop) == before
    with pytest.raises(NotFound):
        netweights.get(shop, lot.id)
    undo.undo(shop, undone.id)
    assert netweights.get(shop, lot.id) == lot


@pytest.mark.parametrize(
    "statement", ["UPDATE lot SET label = 1", "DELETE FROM lot", "DELETE FROM lot_mark"]
)
def test_the_store_itself_refuses_to_rewrite_a_lot(shop: Workshop, statement: str) -> None:
    """Packers keep weigh records: they are append-only, also by hand."""
    lot = netweights.save_lot(shop, "slipway", None, COLUMN, "226 g")
    done = undo.latest(shop, f"lot:{lot.id}")
    assert done is not None
    undo.undo(shop, done.id)  # leaves a mark
    with (
        pytest.raises(IntegrityError, match="append-only"),
        shop.store.unit_of_work() as connection,
    ):
        connection.exec_driver_sql(statement)


def test_every_problem_of_a_lot_is_said_in_its_place(shop: Workshop) -> None:
    """A word among the weights, no label, a tare above the weight, fewer jars than weights."""
    with pytest.raises(BadInput) as bad:
        netweights.save_lot(shop, "slipway", None, "228 abc 229", "", tare="x", jars="1")
    assert places(bad) == {"label", "weights.1", "tare", "jars"}


@pytest.mark.parametrize(
    ("weights", "label"),
    [
        ("1 " * 40_000, "226 g"),
        ("=1+1", "226 g"),
        ("228", "0 g"),
        ("228", "9 tonnes"),
        ("228\x00", "226 g"),
        ("", "226 g"),
        ("1e9", "226 g"),
    ],
)
def test_what_is_no_lot_is_refused(shop: Workshop, weights: str, label: str) -> None:
    """A huge paste, a formula, an absurd label: nothing is kept."""
    before = netweights.lots(shop)
    with pytest.raises(BadInput):
        netweights.save_lot(shop, "slipway", None, weights, label)
    assert netweights.lots(shop) == before


def test_a_pour_of_another_candle_is_refused(shop: Workshop) -> None:
    """The first pour of the demonstration is of Slipway."""
    with pytest.raises(BadInput):
        netweights.save_lot(shop, "low-water", 1, COLUMN, "226 g")
    with pytest.raises(NotFound):
        netweights.save_lot(shop, "slipway", 10**12, COLUMN, "226 g")


def test_gross_weights_lose_their_tare(shop: Workshop) -> None:
    """328.4 g with a jar of 100 g holds 228.4 g."""
    lot = netweights.save_lot(shop, "slipway", None, "328.4 329.1", "226 g", tare="100 g")
    assert lot.masses == pytest.approx((0.2284, 0.2291))
    assert lot.tare_typed == "100 g"


def test_the_aim_comes_from_all_her_lots(shop: Workshop) -> None:
    """More jars tell the scatter better: the cautious aim comes nearer."""
    few = netweights.aims(shop, "low-water", "238 g", jars="10", tests=[Test.DIRECTIVE])[0]
    for _ in range(6):
        column = "237.1 239.0 236.4 238.2 237.5 235.9 238.8 237.0"
        netweights.save_lot(shop, "low-water", None, column, "238 g")
    many = netweights.aims(shop, "low-water", "238 g", jars="10", tests=[Test.DIRECTIVE])[0]
    assert many.scatter == pytest.approx(few.scatter, rel=1e-6)
    assert few.label < many.cautious < few.cautious
    with pytest.raises(BadInput):
        netweights.aims(shop, "first-swim", "200 g", jars="10")
    with pytest.raises(BadInput) as bad:
        netweights.aims(shop, "slipway", "", jars="", passing="110 %")
    assert places(bad) == {"label", "jars", "passing"}


def test_a_key_used_twice_saves_once(shop: Workshop) -> None:
    """A form sent again by a shaky connection changes nothing."""
    first = netweights.save_lot(shop, "slipway", None, COLUMN, "226 g", key="k")
    assert netweights.save_lot(shop, "slipway", None, "1 2 1", "1 g", key="k") == first

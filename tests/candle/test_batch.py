"""From one jar to a batch."""

from dataclasses import replace
from math import fsum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.batch import scale
from rushlight.candle.parts import Candle, Dye, Wick
from rushlight.candle.sheet import Batch, JarSheet, Role, Weight
from rushlight.candle.weigh import weigh
from rushlight.errors import BadInput
from rushlight.quantity.si import Fraction1, Kilogram
from tests.candle.support import candles, floats, slipway

READABILITIES = st.sampled_from([1e-5, 1e-4, 0.001, 0.002, 0.005, 0.02834952])


@st.composite
def batches(draw: st.DrawFn) -> Batch:
    """Draw a batch with allowances, without a limit of capacity."""
    return Batch(
        jars=draw(st.integers(1, 300)),
        spares=draw(st.integers(0, 5)),
        residue=Kilogram(draw(floats(0, 0.1))),
        spill=Fraction1(draw(floats(0, 0.2))),
        readability=Kilogram(draw(READABILITIES)),
    )


def jar() -> JarSheet:
    """Weigh the Slipway."""
    return weigh(slipway())


@given(candles(), batches())
def test_the_parts_shown_add_up_to_the_total_shown(candle: Candle, batch: Batch) -> None:
    """In whole steps of the scale, exactly, for a pot and for the batch."""
    sheet = scale(weigh(candle), batch)
    step = batch.readability
    pot = [round(line.pot / step) for line in sheet.lines]
    for line, steps in zip(sheet.lines, pot, strict=True):
        assert line.pot == steps * step
        assert line.total == pytest.approx(steps * sheet.pots * step, rel=1e-12)
        assert abs(line.pot - line.exact / sheet.pots) < step * (1 + 1e-6)
    assert sheet.pot_mass == sum(pot) * step
    assert round(sheet.total_mass / step) == sum(round(line.total / step) for line in sheet.lines)


@given(candles(), batches())
def test_nothing_melted_goes_unaccounted(candle: Candle, batch: Batch) -> None:
    """Jars, spill and residue are all that is melted; spill is its share of what leaves the pot."""
    sheet = scale(weigh(candle), batch)
    melted = fsum(line.exact for line in sheet.lines)
    parts = sheet.jars_mass + sheet.spill_mass + sheet.residue_mass
    assert melted == pytest.approx(parts, rel=1e-12)
    leaving = sheet.jars_mass + sheet.spill_mass
    assert sheet.spill_mass == pytest.approx(leaving * batch.spill, rel=1e-9, abs=1e-12)


@given(candles(), batches(), st.integers(2, 7))
def test_scaling_is_linear(candle: Candle, batch: Batch, times: int) -> None:
    """Without residue, so many times the jars take so many times the material."""
    one = replace(batch, spares=0, residue=Kilogram(0.0), readability=Kilogram(0.001))
    single, many = (
        scale(weigh(candle), replace(one, jars=one.jars * factor)) for factor in (1, times)
    )
    for small, large in zip(single.lines, many.lines, strict=True):
        assert large.exact == pytest.approx(small.exact * times, rel=1e-12)


@given(batches(), floats(0.2, 5))
def test_pots_are_equal_few_and_within_the_capacity(batch: Batch, capacity: float) -> None:
    """No pot is over the capacity, and one pot fewer would be."""
    limited = replace(batch, capacity=Kilogram(capacity))
    sheet = scale(jar(), limited)
    leaving = sheet.jars_mass + sheet.spill_mass
    assert leaving / sheet.pots + batch.residue <= capacity * (1 + 1e-8)
    if sheet.pots > 1:
        assert leaving / (sheet.pots - 1) + batch.residue > capacity


def test_a_dozen_is_worked_by_hand() -> None:
    """Twelve and a spare in two pots.

    13 of 224.54 g are 2919.1 g; 1 % spill makes 2948.6 g; two pots of at most 2 kg, each
    with 15 g left in it: 2978.6 g, 1489.3 g a pot, shown as 1489 g.
    """
    batch = Batch(
        jars=12,
        spares=1,
        residue=Kilogram(0.015),
        spill=Fraction1(0.01),
        capacity=Kilogram(2.0),
    )
    sheet = scale(jar(), batch)
    assert (sheet.jars_poured, sheet.pots) == (13, 2)
    assert sheet.jars_mass == pytest.approx(13 * 0.22454, abs=5e-4)
    assert sheet.spill_mass == pytest.approx(0.02949, abs=1e-5)
    assert sheet.residue_mass == pytest.approx(0.030)
    assert sheet.pot_mass == pytest.approx(1.489)
    assert sheet.total_mass == pytest.approx(2.978)


def test_pieces_are_counted_for_every_jar_poured() -> None:
    """Spares get a vessel and their wicks too."""
    candle = replace(slipway(), wick=Wick(name="cotton flat", kind="cotton flat", count=2))
    sheet = scale(weigh(candle), Batch(jars=12, spares=1))
    counted = {(line.role, line.name): line.pieces for line in sheet.pieces}
    assert counted == {
        (Role.VESSEL, "straight tumbler"): 13,
        (Role.WICK, "cotton flat"): 26,
    }
    (flakes,) = sheet.outside
    assert flakes.name == "mineral flakes"
    assert flakes.total == pytest.approx(0.052)


def test_drops_are_whole_and_blocks_come_in_quarters() -> None:
    """6 drops a kilogram for 2.54 kg of wax are 15; one block of 10 g per 8 kg is a quarter."""
    drops = scale(jar(), Batch(jars=12)).lines[3]
    assert drops.counted == "15 drops"
    block = Dye(
        name="blue",
        per_wax=Fraction1(0.01 / 8),
        counted="blocks",
        unit_mass=Kilogram(0.01),
    )
    line = scale(weigh(replace(slipway(), dyes=(block,))), Batch(jars=12)).lines[3]
    assert line.counted == "0.25 blocks"


def test_what_the_scale_cannot_show_is_said() -> None:
    """Two grams of additive on a kitchen scale call for a finer one; drops do not."""
    sheet = scale(jar(), Batch(jars=4))
    said = [caution.what for caution in sheet.cautions]
    assert len(said) == 1
    assert said[0].startswith("UV inhibitor: 2.49 g")
    assert not scale(jar(), Batch(jars=4, readability=Kilogram(0.0001))).cautions


def test_uneven_pots_are_noted_with_the_spares_that_would_even_them() -> None:
    """13 jars from 2 pots leave one jar between them."""
    sheet = scale(jar(), Batch(jars=13, capacity=Kilogram(2.0)))
    notes = [caution for caution in sheet.cautions if caution.weight is Weight.NOTE]
    assert [note.remedy for note in notes] == ["1 more, as spares, would make it even."]


@pytest.mark.parametrize(
    ("batch", "place"),
    [
        (Batch(jars=0), "batch.jars"),
        (Batch(jars=1, spares=-1), "batch.spares"),
        (Batch(jars=1, spill=Fraction1(1.0)), "batch.spill"),
        (Batch(jars=1, spill=Fraction1(float("nan"))), "batch.spill"),
        (Batch(jars=1, residue=Kilogram(-0.1)), "batch.residue"),
        (Batch(jars=1, readability=Kilogram(0.0)), "batch.readability"),
        (Batch(jars=9000, readability=Kilogram(1e-9)), "batch.readability"),
        (Batch(jars=1, residue=Kilogram(0.1), capacity=Kilogram(0.1)), "batch.capacity"),
        (Batch(jars=9000, capacity=Kilogram(0.1)), "batch.capacity"),
    ],
)
def test_a_batch_that_cannot_be_is_refused_in_its_place(batch: Batch, place: str) -> None:
    """Each with a remedy."""
    with pytest.raises(BadInput) as caught:
        scale(jar(), batch)
    assert [problem.place for problem in caught.value.problems] == [place]
    assert caught.value.problems[0].remedy


def test_every_fault_of_a_batch_is_told_at_once() -> None:
    """Not only the first."""
    with pytest.raises(BadInput) as caught:
        scale(jar(), Batch(jars=0, spares=-1, spill=Fraction1(2.0)))
    assert len(caught.value.problems) == 3

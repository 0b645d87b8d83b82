"""How full: four ways to say it, hot or set."""

import pytest
from hypothesis import given

from rushlight.candle.fill import level
from rushlight.candle.parts import Fill, FillBy, FillState
from rushlight.candle.profile import straight
from rushlight.candle.vessel import Make, vessel
from rushlight.errors import BadInput
from rushlight.quantity.si import Density, Metre
from tests.candle.support import floats

JAR = vessel(Make(name="jar"), profile=straight(depth=Metre(0.1), diameter=Metre(0.08)))
HOT, COLD = Density(870.0), Density(900.0)


@given(floats(0.005, 0.095))
def test_four_ways_of_saying_one_fill_agree(headspace: float) -> None:
    """Headspace, line, percentage and net weight of the same fill weigh the same."""
    by_head = level(JAR, Fill(by=FillBy.HEADSPACE, amount=headspace), hot=HOT, cold=COLD)
    fills = [
        Fill(by=FillBy.LINE, amount=0.1 - headspace),
        Fill(by=FillBy.PERCENT, amount=1 - headspace / 0.1),
        Fill(by=FillBy.NET, amount=by_head.mass),
        Fill(by=FillBy.LINE, amount=by_head.set_height, state=FillState.SET),
    ]
    for fill in fills:
        found = level(JAR, fill, hot=HOT, cold=COLD)
        assert found.mass == pytest.approx(by_head.mass, rel=1e-9)
        assert found.hot_height == pytest.approx(0.1 - headspace, rel=1e-9)


@given(floats(0, 0.09), floats(0, 0.009))
def test_more_headspace_never_weighs_more(headspace: float, more: float) -> None:
    """Mass falls as headspace grows."""
    less_fill = level(JAR, Fill(by=FillBy.HEADSPACE, amount=headspace + more), hot=HOT, cold=COLD)
    fill = level(JAR, Fill(by=FillBy.HEADSPACE, amount=headspace), hot=HOT, cold=COLD)
    assert less_fill.mass <= fill.mass


def test_wax_sinks_as_it_sets() -> None:
    """In a straight jar the heights are as the densities the other way round."""
    found = level(JAR, Fill(by=FillBy.LINE, amount=0.09), hot=HOT, cold=COLD)
    assert found.set_height == pytest.approx(0.09 * 870 / 900)
    assert found.mass == pytest.approx(found.set_volume * COLD)


@pytest.mark.parametrize(
    "fill",
    [
        Fill(by=FillBy.HEADSPACE, amount=0.1),
        Fill(by=FillBy.HEADSPACE, amount=0.2),
        Fill(by=FillBy.LINE, amount=0.11),
        Fill(by=FillBy.NET, amount=0.6),
        Fill(by=FillBy.PERCENT, amount=1.0, state=FillState.SET),
    ],
)
def test_a_fill_that_does_not_fit_is_refused_in_its_place(fill: Fill) -> None:
    """No room, above the brim, too heavy, or over the brim while still hot."""
    with pytest.raises(BadInput) as caught:
        level(JAR, fill, hot=HOT, cold=COLD)
    assert caught.value.problems[0].place == f"fill.{fill.by.value}"
    assert caught.value.problems[0].remedy


def test_brim_full_is_allowed() -> None:
    """No headspace at all is unwise, yet it can be weighed."""
    found = level(JAR, Fill(by=FillBy.HEADSPACE, amount=0.0), hot=HOT, cold=COLD)
    assert found.hot_height == pytest.approx(0.1)

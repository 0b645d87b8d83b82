"""The steps of the day over one temperature scale."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.candle.parts import Span, Window
from rushlight.candle.sheet import BatchSheet, Windows
from rushlight.press.heat_strip import heat
from rushlight.quantity.show import METRIC, US
from rushlight.quantity.si import Kelvin, KelvinStep, Second

warm = st.tuples(*[st.floats(min_value=300, max_value=400)] * 3).map(sorted)


def window(ends: list[float]) -> Window:
    """Return a window of three temperatures in order."""
    return Window(*map(Kelvin, ends))


SPAN = Span(Second(60), Second(120), Second(120))


@given(
    warm,
    warm,
    warm,
    st.one_of(st.none(), st.floats(min_value=250, max_value=500)),
    st.sampled_from([METRIC, US]),
)
def test_every_mark_lies_on_the_scale_in_its_order(
    melt: list[float], add: list[float], pour: list[float], flash: float | None, pref: object
) -> None:
    """Whatever the windows: nothing beside the paper, low before aim before high."""
    assert pref in (METRIC, US)
    windows = Windows(
        melt=window(melt),
        add=window(add),
        pour=window(pour),
        stir=SPAN,
        cure=SPAN,
        lowest_flash=None if flash is None else Kelvin(flash),
        flash_gap=None if flash is None else KelvinStep(flash - add[1]),
    )
    drawn = heat(windows, METRIC if pref is METRIC else US, cured="a day")
    bands = [step.band for step in drawn.steps if step.band]
    assert len(bands) == 3
    assert all(0 <= band.low <= band.aim <= band.high <= 1 for band in bands)
    assert 2 <= len(drawn.ticks) <= 12
    assert (drawn.ticks[0].at, drawn.ticks[-1].at) == (0, 1)
    if drawn.flash:
        assert 0 <= drawn.flash.at <= 1


def test_a_mark_lies_where_its_figure_says(sheet: Callable[..., BatchSheet]) -> None:
    """85 °C lies on the tick of 85 °C: soy's addition (common practice: 185 °F)."""
    drawn = heat(sheet().jar.windows, METRIC, cured="9 May 2026")
    add = next(step for step in drawn.steps if step.name == "Add fragrance")
    tick = next(tick for tick in drawn.ticks if tick.text == "85 °C")
    assert add.aim == "85 °C"
    assert add.band is not None
    assert add.band.aim == pytest.approx(tick.at, abs=1e-9)


def test_a_far_flash_point_does_not_squeeze_the_windows(sheet: Callable[..., BatchSheet]) -> None:
    """One of 190 °C is told in words; the strip keeps to the windows."""
    windows = replace(sheet().jar.windows, lowest_flash=Kelvin(463.15))
    drawn = heat(windows, METRIC, cured="9 May 2026")
    assert drawn.flash is None
    assert drawn.ticks[-1].text == "90 °C"

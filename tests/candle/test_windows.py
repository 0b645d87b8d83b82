"""The heat windows, and the flash point beside them."""

from dataclasses import replace

import pytest

from rushlight.candle.parts import Candle, Oil
from rushlight.candle.windows import FLASH_MARGIN, windows
from rushlight.quantity.si import Kelvin
from tests.candle.support import slipway


def with_flash(*points: float | None) -> Candle:
    """Return the Slipway with oils of these flash points [K]."""
    oils = tuple(
        Oil(name=f"oil {i}", flash_point=None if point is None else Kelvin(point))
        for i, point in enumerate(points)
    )
    return replace(slipway(), oils=oils)


def test_the_margin_is_thirty_fahrenheit_degrees() -> None:
    """29 CFR 1910.106(a)(19): 30 °F, 16.7 °C."""
    assert pytest.approx(16.7, abs=0.05) == FLASH_MARGIN


def test_the_lowest_flash_point_of_the_blend_counts() -> None:
    """The gap is from the addition aim, 185 °F."""
    found = windows(with_flash(390.0, 370.0))
    assert found.lowest_flash == 370.0
    assert found.flash_gap == pytest.approx(370.0 - (273.15 + 85))


def test_an_unknown_flash_point_leaves_the_gap_unknown() -> None:
    """The lowest known one is still told."""
    found = windows(with_flash(370.0, None))
    assert (found.lowest_flash, found.flash_gap) == (370.0, None)
    assert windows(with_flash(None)).lowest_flash is None


def test_an_oil_that_is_not_poured_does_not_count() -> None:
    """No load, or no parts."""
    assert windows(replace(with_flash(350.0), load=None)).lowest_flash is None
    idle = (Oil(name="idle", parts=0.0, flash_point=Kelvin(340.0)), *with_flash(370.0).oils)
    assert windows(replace(slipway(), oils=idle)).lowest_flash == 370.0

"""From a candle's sheet to the burn of several wicks."""

import pytest

from rushlight.candle.document import read
from rushlight.candle.kinds import built_in
from rushlight.candle.weigh import weigh
from rushlight.heat.box_burn import once
from rushlight.heat.box_from_candle import box_burning_of
from rushlight.heat.box_plan import ROUND

DOCUMENT = {
    "rushlight": 1,
    "name": "Two wicks",
    "vessel": {
        "height": "90 mm",
        "diameter": "95 mm",
        "wall": "3 mm",
        "base": "6 mm",
        "material": "glass",
    },
    "fill": {"headspace": "12 mm"},
    "wax": {"use": "soy container"},
    "wick": {"count": "2"},
}


def test_a_sheet_with_two_wicks_becomes_a_candle_that_burns() -> None:
    """Its wax weighs what the sheet says, and its wicks stand a third of the width apart."""
    jar = weigh(read(DOCUMENT, built_in()))
    burning, wicks = box_burning_of(jar, ROUND, grams_per_hour=4.0)
    assert wicks[1][0] - wicks[0][0] == pytest.approx(0.095 / 3, rel=1e-6)
    figures, _, candle = once(burning, ROUND, wicks=wicks, seconds=3600.0, cell=0.006)
    full = candle.bed.c.full[candle.box.grid.rings.volume > 0].sum()
    assert full == pytest.approx(float(jar.fill_mass), rel=0.002)
    assert figures.left == pytest.approx(float(jar.fill_mass) - 8e-3, rel=0.002)

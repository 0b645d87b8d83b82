"""The wick window."""

import numpy as np
import pytest

from rushlight.candle.profile import straight
from rushlight.errors import BadInput
from rushlight.heat.burn_run import Burning
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.waxes import SOY
from rushlight.heat.wick_window import Verdict, WickRate, wick_window
from rushlight.quantity.si import Metre

RATES = (1.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)


def jar(diameter: float) -> Burning:
    """Return a glass of soy."""
    return Burning(
        profile=straight(depth=Metre(0.09), diameter=Metre(diameter)),
        fill=0.075,
        wall=0.003,
        base=0.006,
        material="glass",
        wax=SOY,
        density=900.0,
        rate=4.0 * GRAMS_PER_HOUR,
    )


def test_a_window_names_the_wicks_worth_testing() -> None:
    """A small wick lies below, a middling one inside; the ends carry a spread."""
    wicks = (WickRate("small", 1.5, 2.0), WickRate("middling", 6.0, 6.5))
    found = wick_window(jar(0.075), wicks=wicks, members=3, rates=RATES)
    assert not found.empty
    assert 3.0 < found.low.likely < 7.0
    assert found.low.low < found.low.likely < found.low.high
    assert found.wicks == {"small": Verdict.SMALL, "middling": Verdict.INSIDE}
    assert np.all(np.diff(found.pool_share) >= 0)
    assert "never replaces" in found.words[-1]


def test_a_wider_jar_asks_for_more_flame() -> None:
    """The low end rises with the diameter; at 110 mm one wick is not enough (common practice)."""
    lows = [wick_window(jar(d), members=0, rates=RATES).low.likely for d in (0.055, 0.065, 0.075)]
    assert np.all(np.diff(lows) > 0)
    wide = wick_window(jar(0.11), members=0, rates=RATES)
    assert np.isnan(wide.low.likely)
    assert "two wicks" in wide.words[0]
    assert wide.empty


def test_a_lower_wall_limit_narrows_the_window() -> None:
    """Heat of the glass is the upper end; asked for the impossible, the window is empty."""
    free = wick_window(jar(0.065), members=0, rates=RATES, wall_limit=ZERO + 90)
    strict = wick_window(jar(0.065), members=0, rates=RATES, wall_limit=ZERO + 50)
    assert strict.high.likely < free.high.likely
    tight = wick_window(jar(0.075), members=0, rates=RATES, wall_limit=ZERO + 40)
    assert tight.empty
    assert "past the limit" in tight.words[0]


def test_a_question_that_makes_no_sense_is_refused() -> None:
    """Wick rates the wrong way round, a burn of a minute, a limit below room: all named."""
    with pytest.raises(BadInput) as refused:
        wick_window(jar(0.07), wicks=(WickRate("odd", 5, 4),), seconds=60, wall_limit=ZERO)
    assert len(refused.value.problems) == 3

"""Ranges as typed."""

import pytest

from rushlight.candle.document_range import parse_range
from rushlight.errors import BadInput
from rushlight.quantity import parse
from tests.candle.support import slipway

F155, F163, F170 = (parse.temperature(f"{f} F") for f in (155, 163, 170))


@pytest.mark.parametrize(
    "text", ["155-170 F", "155 - 170 F", "155 F-170 F", "155–170 °F", "155 to 170 F"]
)
def test_a_range_is_read_however_its_unit_is_said(text: str) -> None:
    """The unit may be said once or twice, the dash be short or long."""
    assert parse_range("wax.pour", text) == pytest.approx((F155, F170))


def test_a_range_of_weeks_and_of_per_cent_is_read() -> None:
    """Durations and fractions work like temperatures."""
    assert parse_range("wax.cure", "1-2 weeks") == (604_800, 1_209_600)
    assert parse_range("wax.usual_load", "6-10 %") == pytest.approx((0.06, 0.10))


@pytest.mark.parametrize("text", ["170-155 F", "1-2-3 F", "155-", "-170 F", "155-170", "a-b"])
def test_what_is_no_range_is_refused(text: str) -> None:
    """Backwards, three ends, one end, no unit, no number."""
    with pytest.raises(BadInput):
        parse_range("wax.pour", text)


def test_a_single_value_moves_the_aim_and_a_range_moves_the_range() -> None:
    """The kind's window for soy is 155 to 170 °F."""
    pour = slipway(wax={"use": "soy container", "pour": "163 F"}).wax.pour
    assert (pour.low, pour.aim, pour.high) == pytest.approx((F155, F163, F170))
    narrow = slipway(wax={"use": "soy container", "pour": "160-168 F"}).wax.pour
    assert narrow.aim == pytest.approx(parse.temperature("165 F"))
    cool = slipway(wax={"use": "soy container", "pour": "120-130 F"}).wax.pour
    assert cool.aim == pytest.approx(parse.temperature("125 F"))


def test_a_window_always_holds_its_aim_and_the_usual_one_is_kept() -> None:
    """185 °F is outside the kind's window: the window reaches out to it."""
    wax = slipway(wax={"use": "soy container", "pour": "185 F"}).wax
    assert wax.pour.low < wax.pour.aim == wax.pour.high
    assert wax.usual_pour is not None
    assert wax.usual_pour.high == pytest.approx(F170)


def test_aim_and_range_may_both_be_typed() -> None:
    """pour_aim puts the aim where it is said."""
    wax = {"use": "soy container", "pour": "150-170 F", "pour_aim": "152 F"}
    assert slipway(wax=wax).wax.pour.aim == pytest.approx(parse.temperature("152 F"))

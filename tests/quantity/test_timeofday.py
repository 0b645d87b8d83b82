"""Times of day."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rushlight.errors import BadInput
from rushlight.quantity import show
from rushlight.quantity.timeofday import clock


@pytest.mark.parametrize(
    ("text", "hour", "minute", "second"),
    [
        ("14:32", 14, 32, 0),
        ("14.32", 14, 32, 0),
        ("9:05", 9, 5, 0),
        ("14:32:10", 14, 32, 10),
        ("2:32 pm", 14, 32, 0),
        ("2:32PM", 14, 32, 0),
        ("9 am", 9, 0, 0),
        ("12:30 am", 0, 30, 0),
        ("12:30 p.m.", 12, 30, 0),
        ("00:00", 0, 0, 0),
    ],
)
def test_a_time_is_read(text: str, hour: int, minute: int, second: int) -> None:
    """By 24 hours or by twice twelve."""
    assert clock(text) == dt.time(hour, minute, second)


@pytest.mark.parametrize(
    "text", ["", "9", "24:00", "14:60", "13 pm", "0 am", "14:3", "-1:00", "noon"]
)
def test_what_is_no_time_is_refused(text: str) -> None:
    """A bare 9 may be a duration; 24:00 is on no clock."""
    with pytest.raises(BadInput):
        clock(text)


@given(time=st.times())
def test_a_shown_time_reads_back_to_the_minute(time: dt.time) -> None:
    """Hours and minutes survive; seconds are not shown."""
    assert clock(show.clock(time)) == time.replace(second=0, microsecond=0, fold=0)

"""A time of day, as typed: "14:32", "14.32", "14:32:10", "2:32 pm", "9 am".

"12:30 am" is half past midnight and "12:30 pm" half past noon, as clocks with
twelve hours show them. A bare "9" is refused: it may be a duration.
"""

from __future__ import annotations

import datetime as dt
import re

from rushlight.errors import BadInput
from rushlight.quantity import reading
from rushlight.quantity.reading import quoted

EXAMPLE = "“14:32” or “2:32 pm”"
_TIME = re.compile(
    r"([0-9]{1,2})(?:[:.]([0-9]{2}))?(?:[:.]([0-9]{2}))? ?(am|pm|a\.m\.|p\.m\.)?", re.IGNORECASE
)
_NOON = 12


def clock(text: str) -> dt.time:
    """Return a time of day, with neither date nor zone."""
    match = _TIME.fullmatch(reading.clean(text, example=EXAMPLE))
    wrong = BadInput.one(f"{quoted(text)} is not a time of day.", f"Type it like {EXAMPLE}.")
    if match is None or not (match[2] or match[4]):
        raise wrong
    hour = int(match[1])
    if match[4]:
        if not 1 <= hour <= _NOON:
            raise wrong
        hour = hour % _NOON + (_NOON if match[4][0] in "pP" else 0)
    try:
        return dt.time(hour, int(match[2] or 0), int(match[3] or 0))
    except ValueError:
        raise wrong from None

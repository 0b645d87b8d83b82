"""`rushlight hazard`: what a candle must say, and why."""

from __future__ import annotations

from rushlight.cli.hazard_found import Wanted, find
from rushlight.cli.say import say_json


def run_hazard(wanted: Wanted, *, as_json: bool) -> None:
    """Review the candle and write what was found."""
    found = find(wanted)
    if as_json:
        from rushlight.cli.hazard_json import shaped

        say_json(shaped(found.jar.candle.name, found.review, pictograms=found.pictograms))
        return
    from rushlight.cli.hazard_table import show_review

    show_review(found.jar.candle.name, found.review, pictograms=found.pictograms)

"""How amounts are said on a page."""

from __future__ import annotations

from dataclasses import replace

from rushlight.web.say import Say
from rushlight.workshop import Workshop, settings
from rushlight.workshop.materials import Amount, Measure


def test_less_than_the_scale_shows_is_not_nothing(workshop: Workshop) -> None:
    """A little of a dye is said to the milligram, and nothing is nothing."""
    say = Say(settings.current(workshop))
    assert say.amount(Amount(360, Measure.MASS)) == "0.360 g"
    assert say.amount(Amount(-360, Measure.MASS)) == "−0.360 g"
    assert say.amount(Amount(0, Measure.MASS)) == "0 g"
    assert say.amount(Amount(1_400, Measure.MASS)) == "1 g"


def test_a_count_is_written_as_the_maker_writes_numbers(workshop: Workshop) -> None:
    """With a decimal comma 12,345 would be read as twelve and a bit."""
    now = settings.current(workshop)
    say = Say(replace(now, preference=replace(now.preference, decimal=",")))
    assert say.amount(Amount(12_345, Measure.PIECES)) == "12\u00a0345"
    assert say.plural(12_345, "jar") == "12\u00a0345 jars"

"""From a candle's sheet to the burn model of any plan and number of wicks."""

from __future__ import annotations

from dataclasses import replace

from rushlight.candle.sheet import JarSheet
from rushlight.heat.box_columns import Wicks
from rushlight.heat.box_plan import Plan, wicks
from rushlight.heat.burn_run import Burning
from rushlight.heat.from_candle import burning_of
from rushlight.heat.surroundings import Place


def box_burning_of(
    sheet: JarSheet, plan: Plan, *, grams_per_hour: float, place: Place | None = None
) -> tuple[Burning, Wicks]:
    """Return the candle of a sheet, set and lit, and where its wicks usually stand.

    grams_per_hour [g/h]: what each of its wicks burns. The profile's diameter is the
    width of the plan.
    """
    candle = sheet.candle
    alone = replace(candle, wick=replace(candle.wick, count=1))
    burning = burning_of(replace(sheet, candle=alone), grams_per_hour=grams_per_hour, place=place)
    width = float(burning.profile.diameter_at(sheet.set_height))
    return burning, wicks(candle.wick.count, plan, width)

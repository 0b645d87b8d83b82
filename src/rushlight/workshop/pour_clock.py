"""The pour window of a pot, on the clock."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from rushlight.candle.sheet import JarSheet, Role
from rushlight.errors import BadInput, NotFound
from rushlight.quantity.si import Kilogram, Second
from rushlight.workshop.pour_views import PotClock, PourView
from rushlight.workshop.shop import Workshop

if TYPE_CHECKING:
    from rushlight.heat.pot import MeltTime, Pot
    from rushlight.workshop.settings import Pitcher


def forecast(shop: Workshop, pour: int, pot: int) -> PotClock | None:
    """Return when the pour window opens and closes; None before the first reading.

    It is of the pitcher in the settings, standing still off the heat; BadInput where
    the readings cannot be of one.
    """
    from rushlight.workshop.pour_sheet import get

    return forecast_of(shop, get(shop, pour), pot)


def forecast_of(shop: Workshop, view: PourView, pot: int) -> PotClock | None:
    """Return the forecast of a pot of a pour that was looked up already."""
    from rushlight.heat import pot as heat
    from rushlight.workshop.settings import current

    settings = current(shop)
    here = next((p for p in view.pots if p.number == pot), None)
    if here is None:
        raise NotFound(f"This pour has no pot {pot}.")
    if not here.readings:
        return None
    origin = here.readings[0].at
    found = heat.forecast(
        pitcher_of(view.sheets.jar, view.sheets.batch.pot_mass, settings.pitcher),
        readings=[
            heat.Reading(Second((r.at - origin).total_seconds()), r.temperature)
            for r in here.readings
        ],
        room=settings.room,
        window=view.sheets.jar.windows.pour,
    )
    opens, closes = _span(found.opens), _span(found.closes)
    return PotClock(
        pot=pot,
        origin=origin,
        opens=None if opens is None else origin + opens,
        closes=None if closes is None else origin + closes,
        spread_opens=_span(found.spread_opens),
        spread_closes=_span(found.spread_closes),
        forecast=found,
    )


def melting(shop: Workshop, view: PourView) -> MeltTime | None:
    """Return how long one pot takes in the melter, from the room to melt-and-hold.

    The oil goes in afterwards and is left out. None where the melter of the settings
    is too weak to get there.
    """
    from rushlight.heat import pot as heat
    from rushlight.workshop.settings import current

    settings, jar = current(shop), view.sheets.jar
    mass = sum(line.pot for line in view.sheets.batch.lines if line.role is not Role.FRAGRANCE)
    try:
        return heat.melt_time(
            pitcher_of(jar, Kilogram(mass), settings.pitcher),
            watts=settings.melter_power,
            start=settings.room,
            target=jar.windows.melt.aim,
            melts_at=jar.candle.wax.melts_at,
            melting_heat=jar.candle.wax.melting_heat,
            room=settings.room,
        )
    except BadInput:
        return None


def pitcher_of(jar: JarSheet, mass: Kilogram, pitcher: Pitcher) -> Pot:
    """Return the pitcher with one pot of the mix in it."""
    from rushlight.heat import pot as heat

    return heat.Pot(
        wax_mass=mass,
        wax_heat_capacity=jar.candle.wax.heat_capacity,
        pitcher_mass=pitcher.mass,
        pitcher_heat_capacity=pitcher.heat_capacity,
        diameter=pitcher.diameter,
        fill_height=heat.fill_height(mass, jar.density_hot, pitcher.diameter),
        side_emissivity=pitcher.side_emissivity,
    )


def _span(seconds: Second | None) -> timedelta | None:
    return None if seconds is None else timedelta(seconds=float(seconds))

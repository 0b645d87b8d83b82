"""How a candle sets and burns: from a design in the workshop to a forecast.

The work takes from a tenth of a second to a few; it is put on the stove, and a page
asks for it again until it is done.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rushlight.candle.facts import fact
from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput, Problems
from rushlight.heat import box_burn, burn
from rushlight.heat import set as setting_of_wax
from rushlight.heat.box_burn import BoxBurnForecast, BoxLifeForecast
from rushlight.heat.box_from_candle import box_burning_of
from rushlight.heat.box_plan import ROUND
from rushlight.heat.box_plan_of import plan_of
from rushlight.heat.burn import BurnForecast, LifeForecast
from rushlight.heat.burn_run import Burning, at_rate
from rushlight.heat.flame import GRAMS_PER_HOUR
from rushlight.heat.from_candle import burning_of, setting_of
from rushlight.heat.set import SetForecast
from rushlight.heat.setting import Setting
from rushlight.heat.wick_window import WickRate, WickWindow, wick_window, window_runs
from rushlight.workshop import live
from rushlight.workshop.heat_asked import BurnAsked, SetAsked, rates, read_burn, read_set
from rushlight.workshop.shop import Workshop
from rushlight.workshop.stove import Pot, Stove

GUESS = 4.5
"""Burn rate where nothing is known of a wick [g/h]: one cotton wick burns 3 to 7 g/h, common
practice."""
CURVE_STEPS = 7  # pour temperatures tried
CURVE_MEMBERS = 3
LOWEST_OVER = 3.0  # the first of them above the liquidus [K]
CURVE_SPAN = 30.0  # and how far they reach [K]


@dataclass(frozen=True, slots=True)
class Known:
    """The burn rate of a wick [g/h], low and high, and where it comes from."""

    low: float
    high: float
    origin: str

    @property
    def middle(self) -> float:
        """The middle of the range [g/h]."""
        return 0.5 * (self.low + self.high)


@dataclass(frozen=True, slots=True)
class Curve:
    """Forecasts over pour temperatures [K]."""

    pours: tuple[float, ...]
    forecasts: tuple[SetForecast, ...]


@dataclass(frozen=True, slots=True)
class BurnStudy:
    """The first burn and the whole life; of several wicks the forecasts of the coarser model."""

    first: BurnForecast | BoxBurnForecast
    life: LifeForecast | BoxLifeForecast


@dataclass(frozen=True, slots=True)
class BurnQuestion:
    """A burn as asked: the sheet, the candle lit, its rate [g/h] and whether it is a guess.

    places: x, y [m] of the wicks where there are several, or the vessel is not round; each
    burns at that rate.
    """

    jar: JarSheet
    asked: BurnAsked
    burning: Burning
    rate: float
    known: Known | None
    guessed: bool
    places: tuple[tuple[float, float], ...] = ()


def room_of(shop: Workshop) -> float:
    """Return the room's temperature of the settings [K]."""
    from rushlight.workshop.settings import current

    return float(current(shop).room)


def jar_of(shop: Workshop, document: Mapping[str, Any]) -> JarSheet:
    """Return the sheet of one jar of a document; BadInput."""
    return live.sheet(shop, document).jar


def setting_asked(jar: JarSheet, asked: SetAsked) -> Setting:
    """Return the setting of a jar as asked, refused before any time is spent."""
    made = setting_of(jar, place=asked.place, pour=asked.pour, vessel=asked.vessel)
    try:
        made.check()
    except BadInput as bad:
        raise BadInput(*_at_fields(bad)) from bad
    return made


def settings_asked(
    jar: JarSheet, typed: Mapping[str, str], *, room: float
) -> tuple[Setting, Setting | None]:
    """Return the setting typed, and the other one to set beside it (fields under "other.")."""
    base = {key: text for key, text in typed.items() if not key.startswith("other.")}
    other = {
        key.removeprefix("other."): text
        for key, text in typed.items()
        if key.startswith("other.") and text.strip()
    }
    problems = Problems()
    mine = beside = None
    try:
        mine = setting_asked(jar, read_set(base, room=room))
    except BadInput as bad:
        problems.extend(bad.problems)
    try:
        beside = setting_asked(jar, read_set({**base, **other}, room=room)) if other else None
    except BadInput as bad:
        # what is inherited from the first setting was said of the first
        problems.extend(p.at(f"other.{p.place}") for p in bad.problems if p.place in other)
    problems.check()
    if mine is None:
        raise AssertionError("there is no setting and no problem says why")
    return mine, beside


_FIELDS = {
    "wax.pour": "pour",
    "vessel.preheat": "preheat",
    "place.room": "room",
    "place.gap": "gap",
    "place.draught": "draught",
    "wick.rate": "rate",
}


def _at_fields(bad: BadInput) -> list[Any]:
    return [replace(p, place=_FIELDS.get(p.place, p.place)) for p in bad.problems]


def set_pot(stove: Stove, setting: Setting) -> Pot:
    """Ask how a jar sets; found: SetForecast."""

    def work(pot: Pot) -> SetForecast:
        return setting_of_wax.forecast(setting, stop=pot.halted, progress=pot.step)

    return stove.ask(("set", setting), work, steps=setting_of_wax.runs())


def curve_pot(stove: Stove, setting: Setting) -> Pot:
    """Ask how it would set at other pour temperatures; found: Curve."""
    low = setting.wax.liquidus + LOWEST_OVER
    pours = tuple(float(t) for t in np.linspace(low, low + CURVE_SPAN, CURVE_STEPS))
    apart = replace(setting, pour=pours[0])

    def work(pot: Pot) -> Curve:
        found = []
        for pour in pours:
            (one,) = setting_of_wax.pour_curve(
                apart,
                np.array([pour]),
                members=CURVE_MEMBERS,
                cell=setting_of_wax.COARSE,
                stop=pot.halted,
            )
            found.append(one)
            pot.step()
        return Curve(pours, tuple(found))

    return stove.ask(("curve", apart), work, steps=CURVE_STEPS)


def known_rate(jar: JarSheet) -> Known | None:
    """Return what one of its wicks is known to burn; None where nobody says."""
    wick = jar.candle.wick
    if wick.burn_rate is None:
        return None
    low, high = (burns / GRAMS_PER_HOUR for burns in wick.burn_rate)
    return Known(low, high, wick.burn_rate_origin)


def wicks_known(shop: Workshop) -> tuple[tuple[WickRate, ...], tuple[str, ...]]:
    """Return the workshop's wicks with a `burn_rate`, and the names of those without."""
    from rushlight.workshop import materials

    shelf = materials.shelf(shop)
    have, without = [], []
    for name in (line.name for line in materials.listing(shop, "wick")):
        facts = shelf.facts("wick", name) or {}
        try:
            low, high = rates(str(fact(facts["burn_rate"]).value))
        except (KeyError, BadInput):
            without.append(name)
        else:
            have.append(WickRate(name, low, high))
    return tuple(have), tuple(without)


def burn_asked(jar: JarSheet, typed: Mapping[str, str], *, room: float) -> BurnQuestion:
    """Return a burn as asked, refused before any time is spent."""
    asked = read_burn(typed, room=room)
    known = known_rate(jar)
    rate = asked.rate or (known.middle if known else GUESS)
    places: tuple[tuple[float, float], ...] = ()
    plan = plan_of(jar.candle.vessel)
    if jar.candle.wick.count == 1 and plan == ROUND:
        burning = burning_of(jar, grams_per_hour=rate, place=asked.place)
    else:
        burning, stood = box_burning_of(jar, plan, grams_per_hour=rate, place=asked.place)
        places = tuple(stood)
    try:
        burning.check()
    except BadInput as bad:
        raise BadInput(*_at_fields(bad)) from bad
    guessed = asked.rate is None and known is None
    return BurnQuestion(jar, asked, burning, rate, known, guessed, places)


def studied(question: BurnQuestion, pot: Pot | None = None) -> BurnStudy:
    """Work out the first burn and the life; pot: told of each part, and stops them."""
    stop = pot.halted if pot else None
    step: Callable[..., None] = pot.step if pot else lambda *_: None
    burning, seconds, places = question.burning, question.asked.seconds, question.places
    first: BurnForecast | BoxBurnForecast
    life: LifeForecast | BoxLifeForecast
    plan = plan_of(question.jar.candle.vessel)
    if places:
        first = box_burn.forecast(
            burning, plan, wicks=places, seconds=seconds, stop=stop, progress=step
        )
        life = box_burn.life(burning, plan, wicks=places, burn=seconds, stop=stop)
    else:
        first = burn.forecast(burning, seconds=seconds, stop=stop, progress=step)
        life = burn.life(burning, burn=seconds, stop=stop)
    step()
    return BurnStudy(first, life)


def burn_pot(stove: Stove, question: BurnQuestion) -> Pot:
    """Ask how it burns; found: BurnStudy."""
    plan = plan_of(question.jar.candle.vessel)
    asked = ("burn", question.burning, question.asked.seconds, question.places, plan)
    first = 2 + box_burn.MEMBERS if question.places else 1 + burn.MEMBERS
    return stove.ask(asked, lambda pot: studied(question, pot), steps=first + 1)


def window_pot(stove: Stove, question: BurnQuestion, wicks: Sequence[WickRate]) -> Pot:
    """Ask which burn rates are worth testing; found: WickWindow."""
    burning = at_rate(question.burning, GUESS)
    seconds, limit = question.asked.seconds, question.asked.limit
    listed = tuple(wicks)

    def work(pot: Pot) -> WickWindow:
        return wick_window(
            burning,
            wicks=listed,
            seconds=seconds,
            wall_limit=limit,
            stop=pot.halted,
            progress=pot.step,
        )

    asked = ("window", burning, seconds, limit, listed)
    return stove.ask(asked, work, steps=window_runs())

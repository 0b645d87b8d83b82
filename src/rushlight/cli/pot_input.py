"""What is typed of a pitcher on the bench: its wax, its readings, its measures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from rushlight.candle.parts import Wax
from rushlight.cli.found import Found, find
from rushlight.errors import BadInput, Problems
from rushlight.heat.pot import Pot, Reading, fill_height
from rushlight.quantity import parse
from rushlight.quantity.si import Fraction1, Kelvin, Kilogram, Second

T = TypeVar("T")
DAY = 86400.0  # [s]
ROOM, PITCHER, DIAMETER = "21 C", "450 g", "150 mm"
"""What holds where nothing is said: a room, and a common aluminium pitcher (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked for; texts as typed."""

    candle: str | None = None
    workshop: str | None = None
    wax: str | None = None
    mass: str | None = None
    readings: tuple[str, ...] = ()
    pour: str | None = None
    room: str | None = None
    pitcher: str | None = None
    diameter: str | None = None
    units: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The pitcher as read. origin [s]: the first reading, since midnight of its day."""

    pot: Pot
    wax: Wax
    room: Kelvin
    origin: Second
    readings: tuple[Reading, ...]
    found: Found | None


def read(wanted: Wanted) -> Bench:
    """Return the pitcher, or raise BadInput with everything that is wrong or missing."""
    problems = Problems()
    found = _try(problems, "", lambda: _found(wanted))
    settings = found.settings if found else None
    own = settings.pitcher if settings else None
    wax = _try(problems, "--wax", lambda: _wax(wanted, found))
    mass = _try(problems, "--mass", lambda: _mass(wanted, found))
    room_kept = settings.room if settings else None
    mass_kept = own.mass if own else None
    across_kept = own.diameter if own else None
    room = _try(problems, "--room", lambda: _typed(wanted.room, parse.temperature, room_kept, ROOM))
    pitcher = _try(
        problems, "--pitcher", lambda: _typed(wanted.pitcher, parse.mass, mass_kept, PITCHER)
    )
    across = _try(
        problems, "--diameter", lambda: _typed(wanted.diameter, parse.length, across_kept, DIAMETER)
    )
    if across is not None and not across > 0:
        problems.add("--diameter", "A pitcher has a width.", 'Type, for example, "150 mm".')
    origin, readings = _readings(wanted.readings, problems)
    problems.check()
    if wax is None or mass is None or room is None or pitcher is None or across is None:
        raise AssertionError("a part is missing and no problem says so")
    pot = Pot(
        wax_mass=mass,
        wax_heat_capacity=wax.heat_capacity,
        pitcher_mass=pitcher,
        diameter=across,
        fill_height=fill_height(mass, wax.density_hot, across),
    )
    if own is not None:
        pot = replace(
            pot,
            pitcher_heat_capacity=own.heat_capacity,
            side_emissivity=Fraction1(own.side_emissivity),
        )
    return Bench(pot=pot, wax=wax, room=room, origin=origin, readings=readings, found=found)


def _found(wanted: Wanted) -> Found | None:
    if wanted.candle is None:
        return None
    laid = {} if wanted.pour is None else {"wax": {"pour": wanted.pour}}
    return find(wanted.candle, wanted.workshop, laid)


def _wax(wanted: Wanted, found: Found | None) -> Wax | None:
    """Return the wax of the kind typed, or of the candle."""
    if wanted.wax is None:
        if wanted.candle is None:
            raise BadInput.one(
                "Which wax is not said.", 'Type --wax "soy container", or a candle file.'
            )
        return found.sheet.jar.candle.wax if found else None  # its own problems say why
    from rushlight.candle import kinds
    from rushlight.candle.document_wax import read_wax

    typed = {"use": wanted.wax}
    if wanted.pour is not None:
        typed["pour"] = wanted.pour
    problems = Problems()
    wax = read_wax(typed, kinds.built_in(), problems)
    problems.check()
    return wax


def _mass(wanted: Wanted, found: Found | None) -> Kilogram | None:
    """Return the mass in the pitcher: as typed, or one pot of the candle's batch."""
    if wanted.mass is not None:
        return parse.mass(wanted.mass)
    if found is not None:
        return found.sheet.pot_mass
    if wanted.candle is None:
        raise BadInput.one("How much is in the pitcher is not said.", 'Type --mass "2 kg".')
    return None  # the candle's own problems say why


def _readings(typed: Sequence[str], problems: Problems) -> tuple[Second, tuple[Reading, ...]]:
    """Return the first reading's time of day [s] and the readings since then."""
    if not typed:
        problems.add(
            "--reading",
            "There is no thermometer reading.",
            'Type at least one, as --reading "14:05=81C".',
        )
    reads: list[tuple[float, Kelvin]] = []
    for i, text in enumerate(typed):
        try:
            reads.append(_reading(text, after=reads[-1][0] if reads else 0.0))
        except BadInput as bad:
            problems.extend(bad.at(f"--reading {i + 1}").problems)
    origin = reads[0][0] if reads else 0.0
    return Second(origin), tuple(Reading(Second(at - origin), kelvin) for at, kelvin in reads)


def _reading(text: str, *, after: float) -> tuple[float, Kelvin]:
    """Return a reading; a time half a day back or more is one of the next day."""
    when, equals, temperature = text.partition("=")
    if not equals:
        raise BadInput.one(f"“{text}” is not a time and a temperature.", 'Type it as "14:05=81C".')
    clock = parse.clock(when)
    at = clock.hour * 3600.0 + clock.minute * 60.0 + clock.second + DAY * (after // DAY)
    if at < after - DAY / 2:
        at += DAY
    return at, parse.temperature(temperature)


def _typed(typed: str | None, parser: Callable[[str], T], kept: T | None, usual: str) -> T:
    """Return what was typed, or what the workshop keeps, or what is usual."""
    return kept if typed is None and kept is not None else parser(typed or usual)


def _try(problems: Problems, place: str, reader: Callable[[], T]) -> T | None:
    """Return what `reader` reads, or None with its problems noted."""
    try:
        return reader()
    except BadInput as bad:
        placed = [problem if problem.place else problem.at(place) for problem in bad.problems]
        problems.extend(problem for problem in placed if problem not in problems.found)
        return None

"""What is asked of a candle's heat, read from what was typed: where it stands, how warm."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from rushlight.errors import BadInput, Problems
from rushlight.heat.enthalpy import ZERO
from rushlight.heat.surroundings import REFRIGERATOR, Place, Stand
from rushlight.heat.wick_window import WALL_LIMIT
from rushlight.quantity import parse

T = TypeVar("T")

DRAUGHTS = {"sheltered": 0.7, "still": 1.0, "some": 1.5, "fan": 3.0}
"""Words for the factor on convection: own judgement, see `Place.draught`."""
STANDS = {"wood": Stand.WOOD, "stone": Stand.STONE, "rack": Stand.RACK}
SET_FIELDS = ("pour", "preheat", "room", "gap", "stand", "draught", "fridge")
BURN_FIELDS = ("rate", "hours", "room", "draught", "limit")
ROOM = ZERO + 21.0
_RATE = re.compile(r"g\s*/\s*h(?:our|r)?$", re.IGNORECASE)
_DASH = re.compile(r"\s*(?:-|–|\bto\b)\s*")


@dataclass(frozen=True, slots=True)
class SetAsked:
    """A setting asked for: place; pour [K], the sheet's when None; vessel [K]."""

    place: Place
    pour: float | None
    vessel: float


@dataclass(frozen=True, slots=True)
class BurnAsked:
    """A burn asked for: rate [g/h], None when not typed; seconds [s]; limit [K]; place."""

    place: Place
    rate: float | None
    seconds: float
    limit: float


def rate(text: str) -> float:
    """Return a burn rate [g/h]: "4.2 g/h", "4,2"."""
    bare = _RATE.sub("", text.strip()).strip()
    try:
        return float(parse.number(bare))
    except BadInput as bad:
        raise BadInput.one(
            f"“{text[:40]}” is not a burn rate.", 'Type grams in an hour, as "4.2 g/h".'
        ) from bad


def rates(text: str) -> tuple[float, float]:
    """Return a burn rate and its range [g/h]: "3.8-4.6 g/h"; equal where it is one value."""
    parts = _DASH.split(_RATE.sub("", text.strip()).strip())
    found = [rate(part) for part in parts]
    if len(found) > 2 or found[0] > found[-1]:  # noqa: PLR2004 -- a range has two ends
        raise BadInput.one(f"“{text[:40]}” is not a burn rate.", 'Type it as "3.8-4.6 g/h".')
    return found[0], found[-1]


class _Form:
    """Typed fields read one after another, every problem noted at its place."""

    def __init__(self, typed: Mapping[str, str]) -> None:
        self.typed = typed
        self.problems = Problems()

    def read(self, key: str, reader: Callable[[str], T], default: T) -> T:
        text = self.typed.get(key, "").strip()
        if not text:
            return default
        try:
            return reader(text)
        except BadInput as bad:
            self.problems.extend(bad.at(key).problems)
            return default

    def choose(self, key: str, known: Mapping[str, T], default: str) -> T:
        text = self.typed.get(key, "").strip() or default
        if text not in known:
            self.problems.add(key, f"“{text[:40]}” is no choice.", f"Take: {', '.join(known)}.")
            return known[default]
        return known[text]


def _temperature(text: str) -> float:
    return float(parse.temperature(text))


def _length(text: str) -> float | None:
    return float(parse.length(text))


def read_set(typed: Mapping[str, str], *, room: float = ROOM) -> SetAsked:
    """Return a setting as asked; room [K] where none is typed. BadInput with every problem.

    In the refrigerator the jar stands from the pour on, coming from the room.
    """
    form = _Form(typed)
    pour = form.read("pour", _temperature, -1.0)
    at = form.read("room", _temperature, room)
    gap = form.read("gap", _length, None)
    stand = form.choose("stand", STANDS, "wood")
    draught = form.choose("draught", DRAUGHTS, "still")
    cold = form.choose("fridge", {"no": False, "yes": True}, "no")
    vessel = form.read("preheat", _temperature, at)
    place = Place(room=at, stand=stand, gap=gap, draught=draught)
    if cold:
        cold_at = REFRIGERATOR.room
        place = Place(room=cold_at, stand=REFRIGERATOR.stand, gap=gap, draught=REFRIGERATOR.draught)
    _places(form.problems, place.check, {"place.room": "room", "place.gap": "gap"})
    form.problems.check()
    return SetAsked(place, pour if pour > 0 else None, vessel)


def read_burn(typed: Mapping[str, str], *, room: float = ROOM) -> BurnAsked:
    """Return a burn as asked; room [K] where none is typed. BadInput with every problem."""
    form = _Form(typed)
    at = form.read("room", _temperature, room)
    draught = form.choose("draught", DRAUGHTS, "still")
    wanted = form.read("rate", rate, -1.0)
    seconds = form.read("hours", lambda text: float(parse.duration(text, default="h")), 4 * 3600.0)
    limit = form.read("limit", _temperature, WALL_LIMIT)
    place = Place(room=at, draught=draught)
    _places(form.problems, place.check, {"place.room": "room"})
    if not 600 <= seconds <= 12 * 3600:  # noqa: PLR2004 -- as `wick_window` takes it
        form.problems.add("hours", "A burn of that length is not one.", "Give 10 min to 12 h.")
    if not ZERO + 35 <= limit <= ZERO + 150:
        form.problems.add("limit", "That is no limit for a wall.", "Give 40 to 100 °C.")
    form.problems.check()
    return BurnAsked(place, wanted if wanted > 0 else None, seconds, limit)


def _places(problems: Problems, check: Callable[[], None], fields: Mapping[str, str]) -> None:
    """Run a check of the core, and say its problems at the fields of the form."""
    try:
        check()
    except BadInput as bad:
        for problem in bad.problems:
            where = fields.get(problem.place, problem.place)
            problems.add(where, problem.what, problem.remedy)

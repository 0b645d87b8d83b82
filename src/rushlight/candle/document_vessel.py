"""Reading the vessel and the fill of a candle document."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from rushlight.candle import limits, water
from rushlight.candle.document_section import Section, or_else, section
from rushlight.candle.document_table import Layer, as_text, table
from rushlight.candle.facts import TYPICAL, Shelf
from rushlight.candle.parts import Fill, FillBy, FillState, Vessel
from rushlight.candle.plan import ROUND, Plan, PlanShape
from rushlight.candle.profile import Profile, Station, shouldered, straight, tapered
from rushlight.candle.vessel import Make, vessel
from rushlight.errors import BadInput, Problems
from rushlight.quantity.si import CubicMetre, Kelvin, Kilogram, Metre

VOLUME = ("brim", "water")
SHAPE = ("height", "diameter", "base_diameter", "shoulder_height", "neck_diameter")
MAKE = ("wall", "base", "material", "combustible", "annealed")
PLAN = ("plan", "breadth", "corner")
KEYS = ("use", "kind", "name", *VOLUME, "water_at", "profile", *SHAPE, *PLAN, *MAKE)
FILL_KEYS = (*(by.value for by in FillBy), "state")
_MOST_STATIONS = 40
_PAIR = 2


def read_vessel(raw: Any, shelf: Shelf, problems: Problems) -> Vessel | None:
    """Return the vessel; None where a problem was noted that leaves none."""
    laid = section(
        raw, place="vessel", field="vessel", role="vessel", shelf=shelf, problems=problems
    )
    laid.only(KEYS)
    layers = tuple(_uncovered(laid.layers))
    here = Section("vessel", "vessel", layers, problems)
    before = len(problems.found)
    profile = read_profile(here)
    stated, water_mass = here.number("brim"), here.number("water")
    water_at = here.number("water_at")
    plan = read_plan(here, profile)
    make = Make(
        plan=plan,
        name=here.name or "vessel",
        wall=Metre(or_else(here.number("wall"), 0.003)),
        base=Metre(or_else(here.number("base"), 0.005)),
        material=here.text("material", "glass"),
        combustible=here.flag("combustible"),
        annealed=here.flag("annealed") if "annealed" in here else None,
    )
    if len(problems.found) > before:
        return None
    try:
        return vessel(
            make,
            profile=profile,
            stated=None if stated is None else CubicMetre(stated),
            water_mass=None if water_mass is None else Kilogram(water_mass),
            water_at=water.ROOM if water_at is None else Kelvin(water_at),
            typical_shape=_typical(here),
        )
    except BadInput as bad:
        problems.extend(bad.at("vessel").problems)
        return None


def read_plan(here: Section, profile: Profile | None) -> Plan:
    """Return the plan; its breadth and corner are typed as lengths at the widest place."""
    typed = here.text("plan", PlanShape.ROUND.value).casefold()
    if typed not in set(PlanShape):
        here.note("plan", f"“{typed}” is no plan of a vessel.", "Type round, square or oval.")
        return ROUND
    breadth, corner = here.number("breadth"), here.number("corner")
    if typed == PlanShape.ROUND.value:
        for key, value in (("breadth", breadth), ("corner", corner)):
            if value is not None:
                here.note(key, f"A round vessel has no {key}.", 'Say plan = "square" or "oval".')
        return ROUND
    if typed == PlanShape.OVAL.value and corner is not None:
        here.note(
            "corner", "An oval vessel has no corner.", 'Leave it out, or say plan = "square".'
        )
    if profile is None:
        if breadth is not None or corner is not None:
            here.note("plan", "A breadth or a corner needs the width.", "Type the inner diameter.")
        return Plan(shape=PlanShape(typed), corner=0.0)
    width = max(station.diameter for station in profile.stations)
    share = 1.0 if breadth is None else breadth / width
    round_off = 0.0 if corner is None else 2.0 * corner / (share * width)
    try:
        return Plan(shape=PlanShape(typed), breadth=share, corner=round_off)
    except BadInput as bad:
        for problem in bad.problems:
            here.note(problem.place, problem.what, problem.remedy)
        return ROUND


def _uncovered(layers: Sequence[Layer]) -> Iterator[Layer]:
    """Yield the layers without what a higher layer has answered in another way.

    A volume or a shape typed above a material does away with the material's own
    volume; a profile typed above does away with its height and diameters, and
    the other way round.
    """
    covered: set[str] = set()
    for layer in layers:
        yield {key: fact for key, fact in layer.items() if key not in covered}
        if any(key in layer for key in (*VOLUME, *SHAPE, "profile")):
            covered.update(VOLUME)
        if "profile" in layer:
            covered.update(SHAPE)
        elif any(key in layer for key in SHAPE):
            covered.add("profile")


def _typical(here: Section) -> bool:
    """Whether the shape is only that of the kind."""
    facts = [here.fact(key) for key in ("profile", *SHAPE)]
    return all(fact is None or fact.origin == TYPICAL for fact in facts)


def read_profile(here: Section) -> Profile | None:
    """Return the inner shape, from a measured profile or from height and diameters."""
    measured = here.fact("profile")
    try:
        if measured is not None:
            return _stations(measured.value, here)
        return _shape(here)
    except BadInput as bad:
        at = "profile" if measured is not None else "height"
        here.problems.extend(bad.at(here.at(at)).problems)
        return None


def _shape(here: Section) -> Profile | None:
    given = {key: Metre(value) for key in SHAPE if (value := here.number(key)) is not None}
    if not given or not _complete(here, given):
        return None
    depth, diameter = given["height"], given["diameter"]
    foot = given.get("base_diameter")
    if "neck_diameter" in given:
        return shouldered(
            depth=depth,
            diameter=diameter,
            shoulder_height=given["shoulder_height"],
            neck_diameter=given["neck_diameter"],
            base_diameter=foot,
        )
    if foot is not None:
        return tapered(depth=depth, base_diameter=foot, diameter=diameter)
    return straight(depth=depth, diameter=diameter)


def _complete(here: Section, given: Mapping[str, Metre]) -> bool:
    """Whether the measures make a shape; note what is missing."""
    before = len(here.problems.found)
    for key in ("height", "diameter"):
        if key not in given:
            here.note(
                key,
                f"The inner {key} is missing: a shape needs height and diameter.",
                f'Type it, such as "{limits.LIMITS[f"vessel.{key}"].example}",'
                " or leave the shape out.",
            )
    if ("neck_diameter" in given) != ("shoulder_height" in given):
        here.note(
            "shoulder_height" if "neck_diameter" in given else "neck_diameter",
            "A shoulder needs its height and the neck's diameter.",
            "Type both, or leave both out.",
        )
    elif "shoulder_height" in given and given["shoulder_height"] >= given.get("height", 1e9):
        here.note(
            "shoulder_height",
            "The shoulder is not below the brim.",
            "Measure both from the inner base.",
        )
    return len(here.problems.found) == before


def _stations(raw: Any, here: Section) -> Profile:
    example = 'Type it as [["0 mm", "70 mm"], ["85 mm", "74 mm"]]: height, inner diameter.'
    if not isinstance(raw, list | tuple) or len(raw) > _MOST_STATIONS:
        raise BadInput.one(
            f"A profile is a list of at most {_MOST_STATIONS} heights with diameters.", example
        )
    stations, problems = [], Problems()
    for i, pair in enumerate(raw):
        if not isinstance(pair, list | tuple) or len(pair) != _PAIR:
            problems.add(f"{i}", "This is not a height with a diameter.", example)
            continue
        values = []
        for key, value in zip(("height", "diameter"), pair, strict=True):
            try:
                values.append(limits.read(f"{here.field}.profile.{key}", as_text(value)))
            except BadInput as bad:
                problems.extend(bad.at(f"{i}").problems)
        if len(values) == _PAIR:
            stations.append(Station(Metre(values[0]), Metre(values[1])))
    problems.check()
    return Profile(tuple(stations))


def read_fill(raw: Any, problems: Problems) -> Fill | None:
    """Return the fill; exactly one of headspace, line, percent and net is wanted."""
    here = Section("fill", "fill", (table(raw, "fill", problems),), problems)
    here.only(FILL_KEYS)
    given = [by for by in FillBy if by.value in here]
    if len(given) != 1:
        what = "Nothing says how full." if not given else "The fill is given more than once."
        here.note(
            given[1].value if given else "headspace",
            what,
            'Give exactly one of headspace ("12 mm"), line, percent or net.',
        )
        return None
    amount = here.number(given[0].value)
    state = _state(here)
    if amount is None or state is None:
        return None
    return Fill(by=given[0], amount=amount, state=state)


def _state(here: Section) -> FillState | None:
    typed = here.text("state", FillState.HOT.value).casefold()
    for state in FillState:
        if typed == state.value:
            return state
    here.note("state", f"“{typed}” is not a state of the fill.", 'Type "as poured" or "when set".')
    return None

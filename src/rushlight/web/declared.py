"""What a label may declare of a weight, and how large it must stand there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from rushlight.candle.parts import Vessel
from rushlight.errors import BadInput, Problem
from rushlight.hazard.netcontents import declare, panel
from rushlight.hazard.netcontents.declare import Declaration
from rushlight.hazard.netcontents.emark import Marking, marking
from rushlight.hazard.netcontents.panel import TypeHeight
from rushlight.hazard.netcontents.target import Test
from rushlight.quantity import parse
from rushlight.quantity.si import Kilogram, Metre

GRAM = 1e-3  # [kg]
FINE = Decimal("0.01")  # ounces that were typed keep two places
OUNCES_FROM = Kilogram(0.0284)  # under an ounce a dual declaration leads with grams


@dataclass(frozen=True, slots=True)
class Panel:
    """The front of a jar as typed: diameter and height of its straight side [m]."""

    diameter: Metre
    height: Metre

    @property
    def area(self) -> float:
        """Its principal display panel [m²]."""
        return panel.cylinder(self.diameter, self.height)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """What may be printed for one weight; None where a law is not asked for or does not apply."""

    net: Kilogram
    dual: Declaration | None
    letters: TypeHeight | None
    metric: str
    mark: Marking | None


def declared(
    net: Kilogram, tests: Collection[Test], area: float | None, *, text: str = ""
) -> Declared:
    """Return the declarations a weight [kg] holds on a display panel of an area [m²].

    text: the quantity as typed, if it was.
    """
    us, eu = Test.CATEGORY_A in tests, Test.DIRECTIVE in tests
    whole = int(net / GRAM * (1.0 + 1e-9))
    return Declared(
        net=net,
        dual=_dual(net, text) if us else None,
        letters=panel.type_height(area) if us and area is not None else None,
        metric=f"{whole} g ℮" if eu and whole else "",
        mark=_mark(net) if eu else None,
    )


def _dual(net: Kilogram, text: str) -> Declaration | None:
    """Return the dual declaration: led by the unit she typed, by ounces where she typed none."""
    grams = Decimal(str(round(net / GRAM, 6)))
    try:
        if "oz" in text.lower():
            return declare.holds(net, ounce_step=FINE)
        if text or net < OUNCES_FROM:
            return declare.from_grams(grams)
        return declare.holds(net)
    except BadInput:
        return None


def _mark(net: Kilogram) -> Marking | None:
    try:
        return marking(net)
    except BadInput:
        return None


def front_of(vessel: Vessel) -> Panel | None:
    """Return the front of a candle's vessel, base included; None where its shape is not known."""
    if not vessel.shape_known:
        return None
    widest = max(station.diameter for station in vessel.profile.stations) + 2 * vessel.wall
    return Panel(Metre(widest), Metre(vessel.profile.depth + vessel.base))


def read_front(diameter: str, height: str) -> Panel | None:
    """Return the front as typed; None where nothing was. BadInput at "diameter" and "height"."""
    if not diameter and not height:
        return None
    found: dict[str, Metre] = {}
    problems: list[Problem] = []
    for place, text in (("diameter", diameter), ("height", height)):
        try:
            if not text:
                raise BadInput.one("Both measures are needed.", "Type it, such as 75 mm.")
            found[place] = parse.length(text)
            if not 0.0 < found[place] < 1.0:
                raise BadInput.one(f"“{text}” is not a jar.", "Check the figure and its unit.")
        except BadInput as bad:
            problems.extend(bad.at(place).problems)
    if problems:
        raise BadInput(*problems)
    return Panel(found["diameter"], found["height"])

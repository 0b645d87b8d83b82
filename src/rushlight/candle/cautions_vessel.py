"""Cautions of what can be touched: vessel, headspace, wick, finishes."""

from __future__ import annotations

from collections.abc import Iterator

from rushlight.candle.fill import Level
from rushlight.candle.parts import Candle, Finish, Vessel, VolumeFrom
from rushlight.candle.said import length
from rushlight.candle.sheet import Caution, Weight
from rushlight.quantity.si import Metre

PRACTICE = "common practice"
GLASS = "ASTM F2179, annealed soda-lime glass candle containers; the thickness is our own judgement"
ANNEALED = "ASTM F2179"  # annealed soda-lime glass containers for candles (title from memory)
LEAD = "16 CFR 1500.17(a)(13)"

TIGHT = Metre(0.006)
"""Headspace below which a lid presses on the wick and the rim gets hot [m]."""
USUAL_HEADSPACE = Metre(0.012)
"""1/2 in or so [m]; 1/2 to 1 in is usual (common practice)."""
THIN_GLASS = Metre(0.002)
RIM = Metre(0.025)
"""Nearer to the rim than this a finish is called near the flame [m]; our own judgement."""
APART = 0.05
"""A stated and a measured volume further apart than this [1] do not agree."""
_TRIM_SLACK = 0.0005
_BURN = ("wood", "plastic", "paper", "card", "bamboo", "rattan", "acrylic", "coconut shell")
_POROUS = ("concrete", "cement", "terracotta", "unglazed", "plaster", "jesmonite")
_METALS = ("lead", "metal", "zinc", "tin")
# Usual number of wicks by diameter at the wax's surface (common practice): one up to
# 80 mm, two to 100 mm, three to 125 mm, four or more above.
_WICKS = ((0.080, 1), (0.100, 2), (0.125, 3))


def vessel_cautions(candle: Candle, level: Level) -> Iterator[Caution]:
    """Yield the cautions of the vessel and how full it is."""
    vessel = candle.vessel
    material = vessel.material.casefold()
    if vessel.combustible or any(word in material for word in _BURN):
        yield Caution(
            "vessel.material",
            Weight.STOP,
            f"A vessel of {vessel.material} can burn.",
            "Use one that cannot, or set a container that cannot inside it.",
            PRACTICE,
        )
    if "glass" in material and vessel.wall < THIN_GLASS:
        yield Caution(
            "vessel.wall",
            Weight.CAUTION,
            f"Glass of {length(vessel.wall)} is thin, and may not be annealed.",
            "Use glass made and annealed for candles; heat can crack any other.",
            GLASS,
        )
    if "glass" in material and not vessel.annealed:
        unknown = vessel.annealed is None
        yield Caution(
            "vessel.annealed",
            Weight.NOTE if unknown else Weight.CAUTION,
            "Nothing says that this glass is annealed."
            if unknown
            else "This glass is not annealed.",
            "Ask the supplier for glass annealed for candles; heat can crack any other.",
            ANNEALED,
        )
    if any(word in material for word in _POROUS):
        yield Caution(
            "vessel.material",
            Weight.CAUTION,
            f"A vessel of {vessel.material} can soak up wax and act as a wick itself.",
            "Seal the inside, and fill it with water overnight to look for leaks.",
            PRACTICE,
        )
    yield from _volumes(vessel)
    yield from _headspace(candle, level)


def _volumes(vessel: Vessel) -> Iterator[Caution]:
    if not vessel.shape_known:
        yield Caution(
            "vessel.height",
            Weight.NOTE,
            "The inner shape is not known; heights and the wick's length are estimates.",
            "Measure the inner height and diameter.",
            PRACTICE,
        )
        return
    ratio = vessel.profile.brim_volume / vessel.brim_volume
    if vessel.volume_from is not VolumeFrom.PROFILE and abs(ratio - 1) > APART:
        yield Caution(
            "vessel.brim",
            Weight.CAUTION,
            f"The measured shape holds {vessel.profile.brim_volume * 1e6:.0f} ml, the brim"
            f" volume given is {vessel.brim_volume * 1e6:.0f} ml ({vessel.volume_from.value}).",
            "Weigh the water it holds to the brim, or measure the inside again.",
            PRACTICE,
        )


def _headspace(candle: Candle, level: Level) -> Iterator[Caution]:
    depth = candle.vessel.profile.depth
    left = depth - level.set_height
    place = f"fill.{candle.fill.by.value}"
    if left < TIGHT:
        yield Caution(
            place,
            Weight.CAUTION,
            f"Only {length(left)} from the set wax to the rim.",
            "Leave 1/2 to 1 in: a lid needs room for the wick, and the rim gets hot.",
            PRACTICE,
        )
    elif left < USUAL_HEADSPACE - _TRIM_SLACK:
        yield Caution(
            place,
            Weight.NOTE,
            f"{length(left)} from the set wax to the rim is less than usual.",
            "1/2 to 1 in is usual.",
            PRACTICE,
        )
    if depth - level.hot_height < TIGHT / 2:
        yield Caution(
            place,
            Weight.CAUTION,
            f"Poured hot, the wax comes to {length(depth - level.hot_height)} below the rim.",
            "Leave room to carry the jar without spilling.",
            PRACTICE,
        )


def wick_cautions(candle: Candle, level: Level) -> Iterator[Caution]:
    """Yield the cautions of the wick."""
    wick = candle.wick
    wooden = "wood" in wick.kind.casefold()
    usual, said = (0.003175, "1/8 in") if wooden else (0.00635, "1/4 in")
    if abs(wick.trim - usual) > _TRIM_SLACK:
        yield Caution(
            "wick.trim",
            Weight.NOTE,
            f"The wick is trimmed to {length(wick.trim)}; {said} is usual.",
            f"Trim it to {said} before every burn; a long wick soots and burns hot.",
            PRACTICE,
        )
    words = set(wick.core.casefold().replace("-", " ").split())
    metal = [metal for metal in _METALS if metal in words]
    if metal:
        yield Caution(
            "wick.core",
            Weight.STOP if metal == ["lead"] else Weight.CAUTION,
            f"The wick has a core of {wick.core}: a metal core of more than 0.06 % lead by"
            " weight is banned in the United States.",
            "Hold the supplier's statement of conformity, or choose a wick without metal.",
            LEAD,
        )
    yield from _count(candle, level)
    yield from _suits(candle, level)


def _count(candle: Candle, level: Level) -> Iterator[Caution]:
    """Compare the number of wicks with what is usual for the width of the wax."""
    if not candle.vessel.shape_known:
        return
    width = candle.vessel.profile.diameter_at(level.set_height)
    usual = next((count for most, count in _WICKS if width <= most), 4)
    if abs(candle.wick.count - usual) > (1 if usual > 1 else 0) or (
        candle.wick.count == 1 and usual > 1
    ):
        more = " or more" if usual == 4 else ""  # noqa: PLR2004  the last of the table
        yield Caution(
            "wick.count",
            Weight.NOTE,
            f"The wax is {length(width)} across; {usual}{more} is the usual number of wicks,"
            f" not {candle.wick.count}.",
            "Let a test burn decide.",
            PRACTICE,
        )


def _suits(candle: Candle, level: Level) -> Iterator[Caution]:
    """Compare the width of the wax with the diameters the wick's maker gives it for.

    Several wicks share the surface: each is taken to serve its part of the area, so the
    width for one of n is D/√n.
    """
    suits, count = candle.wick.suits, candle.wick.count
    if suits is None or not candle.vessel.shape_known:
        return
    width = candle.vessel.profile.diameter_at(level.set_height)
    each = Metre(width / count**0.5)
    share = "" if count == 1 else f" ({length(each)} for each of {count} wicks)"
    found = f"The wax is {length(width)} across{share}; the wick is made for"
    span = f"{length(suits[0])} to {length(suits[1])}"
    if each < suits[0] - _TRIM_SLACK:
        yield Caution(
            "wick.suits",
            Weight.CAUTION,
            f"{found} {span}: the vessel is too small for it, and gets hot.",
            "Choose a smaller wick or a wider vessel, and measure the glass in a test burn.",
            "the wick's own data; the share of several wicks is our own judgement",
        )
    elif each > suits[1] + _TRIM_SLACK:
        yield Caution(
            "wick.suits",
            Weight.NOTE,
            f"{found} {span}: it may tunnel.",
            "Choose a larger wick, or try it in a test burn.",
            "the wick's own data; the share of several wicks is our own judgement",
        )


def finish_cautions(candle: Candle) -> Iterator[Caution]:
    """Yield the cautions of what is put on the outside."""
    for i, finish in enumerate(candle.finishes):
        near = finish.rim_gap is None or finish.rim_gap < RIM
        if finish.combustible or finish.sheds:
            yield _near(finish, f"finishes.{i}.rim_gap", near=near)
        if finish.sheds:
            yield Caution(
                f"finishes.{i}",
                Weight.CAUTION,
                f"{finish.name} can flake off.",
                "Seal it, let the seal dry, and shake a jar in its box before shipping.",
                PRACTICE,
            )


def _near(finish: Finish, place: str, *, near: bool) -> Caution:
    does = " and ".join(
        word for word, so in (("burn", finish.combustible), ("flake", finish.sheds)) if so
    )
    known = finish.rim_gap
    gap = "at an unknown distance from" if known is None else f"{length(known)} from"
    return Caution(
        place,
        Weight.CAUTION if near else Weight.NOTE,
        f"{finish.name}: can {does}, {gap} the rim.",
        f"Keep it {length(RIM)} or more below the rim, and none inside; watch it in a test burn.",
        PRACTICE,
    )

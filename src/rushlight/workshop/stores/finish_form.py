"""What is typed when a pour is over: good jars, rejected ones with reasons, what is left over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from rushlight.quantity import parse
from rushlight.quantity.si import Kilogram
from rushlight.workshop.material_views import Amount, Measure
from rushlight.workshop.stores.amounts import reader
from rushlight.workshop.stores.jar_count import Fillable
from rushlight.workshop.stores.saying import said
from rushlight.workshop.typed import LONGEST_NOTE, Typed, within

if TYPE_CHECKING:
    from sqlalchemy import RowMapping

    from rushlight.quantity.preference import Preference

REASONS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "sinkhole": "Sinkhole",
        "wet-spot": "Wet spot",
        "frosting": "Frosting",
        "rough-top": "Rough top",
        "cracked-wax": "Crack in the wax",
        "air-bubbles": "Air bubbles",
        "oil-on-top": "Oil seeping out",
        "off-colour": "Colour not as it should be",
        "wick-off-centre": "Wick off centre",
        "underfilled": "Underfilled",
        "overfilled": "Overfilled",
        "broken-glass": "Crack or broken glass",
        "soot": "Soot or smoke in the test burn",
        "other": "Other",
    }
)
"""Why a jar is rejected, by the trade's names, with the key each is kept by."""
OTHER: Final = "other"
FATES: Final = ("returned", "scrapped")
"""What may become of a leftover."""
_MOST: Final = 100_000


@dataclass(frozen=True, slots=True)
class Left:
    """A leftover of a material: units [mg or pieces], back into its lot or thrown away."""

    units: int
    scrapped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """What was typed, as read. rejected: jars by key of the reason. left: by material.

    note: ends with why the jars differ from what was poured, where they do.
    """

    good: int
    rejected: Mapping[str, int]
    left: Mapping[int, Left]
    count_wrong: str
    person: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """What is known of a pour that is over.

    planned: jars wanted; spare: jars poured beside. fill: the mix in a jar, mix: what was weighed
    for all of them, allowed: what the plan adds for the pot and for spills [kg]. materials: what
    it used, by number, with what of it was used and is in hand [mg or pieces].
    """

    planned: int
    spare: int
    fill: Kilogram
    mix: Kilogram
    allowed: Kilogram
    materials: Mapping[int, RowMapping]
    used: Mapping[int, int]
    in_hand: Mapping[int, int]

    def missing(self) -> dict[int, int]:
        """Return how much more was used than was in hand, by material."""
        lacks = {m: units - self.in_hand.get(m, 0) for m, units in self.used.items()}
        return {m: units for m, units in lacks.items() if units > 0}

    def filled(self, left: Mapping[int, Left]) -> Fillable:
        """Return what says how many jars it gave, with this left over."""
        vessels = mix = 0
        for number, one in left.items():
            row = self.materials[number]
            if row["role"] == "vessel":
                vessels += one.units
            elif row["measure"] == Measure.MASS and row["role"] != "finish":
                mix += one.units
        return Fillable(
            wanted=self.planned,
            vessels=self.planned + self.spare - vessels,
            fill=self.fill,
            mix=Kilogram(self.mix - Amount(mix, Measure.MASS).mass),
            allowed=self.allowed,
        )


def read(typed: Mapping[str, Any], poured: Poured, shown: Preference) -> Finish:
    """Return what was typed; BadInput with every problem.

    A plain count in `rejected` is of jars rejected for another reason, beside those named. Where
    the good jars are not typed they are those wanted, less rejected ones that no spare makes up.
    More jars than can have been poured, or fewer, want a reason in `jars_differ`.
    """
    slugs = {row["slug"]: number for number, row in poured.materials.items()}
    form = Typed(typed, _known(slugs))
    jars = within(parse.count, 0, _MOST, "from 0 to 100,000")
    rejected = {key: form.read(f"rejected.{key}", jars) or 0 for key in REASONS}
    rejected[OTHER] += form.read("rejected", jars) or 0
    total = sum(rejected.values())
    good = min(poured.planned, max(poured.planned + poured.spare - total, 0))
    made = form.read("good", jars, default=str(good))
    told = {n: _left(form, slug, poured, n, shown) for slug, n in slugs.items()}
    left = {number: one for number, one in told.items() if one is not None}
    differ = "" if form.problems.found else poured.filled(left).question(made or 0, total, shown)
    why = _why(form, differ)
    wrong = " ".join(form.text("count_wrong").split())
    if not wrong:
        for number, units in poured.missing().items():
            row = poured.materials[number]
            lack = said(Amount(units, Measure(row["measure"])), shown)
            form.problems.add(
                "count_wrong",
                f"{row['name']}: {lack} more was used than is in hand.",
                "Correct what was weighed, or say why the count was wrong.",
            )
    found = Finish(
        good=made or 0,
        rejected={key: count for key, count in rejected.items() if count},
        left=left,
        count_wrong=wrong,
        person=" ".join(form.text("person").split()),
        note="\n".join(filter(None, (form.text("note", longest=LONGEST_NOTE - len(why)), why))),
    )
    form.problems.check()
    return found


def _why(form: Typed, differ: str) -> str:
    """Return what the note says of jars that differ: how, and why as it was typed."""
    if not differ:
        return ""
    remedy = "Correct the counts or what was weighed, or say why the jars differ."
    reason = form.needed("jars_differ", differ, remedy)
    return f"{differ} {reason}" if reason else ""


def _known(slugs: Mapping[str, int]) -> set[str]:
    return {
        *("good", "rejected", "count_wrong", "jars_differ", "person", "note"),
        *(f"rejected.{key}" for key in REASONS),
        *(f"left.{slug}.{field}" for slug in slugs for field in ("amount", "fate")),
    }


def _left(form: Typed, slug: str, poured: Poured, number: int, shown: Preference) -> Left | None:
    place = f"left.{slug}.amount"
    measure = Measure(poured.materials[number]["measure"])
    amount = form.read(place, reader(measure, shown))
    fate = form.choice(f"left.{slug}.fate", FATES, "returned")
    if amount is None or amount.units == 0:
        return None
    used = poured.used.get(number, 0)
    if amount.units > used:
        form.problems.add(
            place,
            f"Only {said(Amount(used, measure), shown)} was taken.",
            "Type what is left of that; what was never weighed out is in stores still.",
        )
        return None
    return Left(amount.units, fate == "scrapped")

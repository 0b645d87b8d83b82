"""Reading what goes into the wax: fragrance, dyes, additives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rushlight.candle.document_section import Section, section
from rushlight.candle.document_table import rows, table, unknown_keys
from rushlight.candle.facts import Shelf
from rushlight.candle.load import UNNAMED
from rushlight.candle.parts import Additive, Dye, Load, LoadBasis, Oil
from rushlight.errors import Problems
from rushlight.quantity.si import Density, Fraction1, Kelvin, Kilogram

OIL_KEYS = ("use", "kind", "name", "parts", "density", "flash_point", "flash_method")
DYE_KEYS = (
    "use",
    "kind",
    "name",
    "amount",
    "percent",
    "drops",
    "drop_mass",
    "blocks",
    "block_mass",
    "per",
)
ADDITIVE_KEYS = ("use", "kind", "name", "percent")
SAFETY_KEYS = ("sheet", "certificate")
"""What an oil, dye or additive may carry that is no matter of mixing: read in `hazard.document`."""
_WAYS = ("amount", "percent", "drops", "blocks")
_BASES = {"wax": LoadBasis.WAX, "the wax": LoadBasis.WAX, "total": LoadBasis.TOTAL}
_BASES["the total"] = LoadBasis.TOTAL


def read_fragrance(
    raw: Any, shelf: Shelf, problems: Problems
) -> tuple[Load | None, tuple[Oil, ...]]:
    """Return the load and the oils; no fragrance table means an unscented candle."""
    typed = table(raw, "fragrance", problems)
    if not typed:
        return None, ()
    unknown_keys(typed, ("load", "basis", "oils"), "fragrance", problems)
    here = Section("fragrance", "fragrance", (typed,), problems)
    listed = typed["oils"].value if "oils" in typed else None
    oils = tuple(_oils(listed, shelf, problems))
    amount = here.needed("load", "The fragrance load")
    basis = _basis(here)
    if sum(oil.parts for oil in oils) <= 0 and oils:
        problems.add(
            "fragrance.oils.0.parts",
            "The parts of the blend add up to nothing.",
            'Give at least one oil some parts, such as "1".',
        )
    return Load(Fraction1(amount), basis), oils or (UNNAMED,)


def _basis(here: Section) -> LoadBasis:
    typed = here.text("basis").casefold().removeprefix("of ").strip()
    if typed not in _BASES:
        here.note(
            "basis",
            "A load needs its basis." if not typed else f"“{typed}” is not a basis of a load.",
            'Type "of wax" (per mass of wax) or "of total" (per mass of everything poured).',
        )
    return _BASES.get(typed, LoadBasis.WAX)


def _oils(raw: Any, shelf: Shelf, problems: Problems) -> Iterator[Oil]:
    for here in _listed(raw, "fragrance.oils", "fragrance", shelf, problems):
        here.only(OIL_KEYS)
        parts, density = here.number("parts"), here.number("density")
        flash = here.number("flash_point")
        yield Oil(
            name=here.name or UNNAMED.name,
            parts=1.0 if parts is None else parts,
            density=UNNAMED.density if density is None else Density(density),
            flash_point=None if flash is None else Kelvin(flash),
            flash_method=here.text("flash_method"),
        )


def read_dyes(raw: Any, shelf: Shelf, problems: Problems) -> tuple[Dye, ...]:
    """Return the dyes, each however it is counted."""
    listed = _listed(raw, "dyes", "dye", shelf, problems)
    return tuple(_dye(here) for here in listed)


def _dye(here: Section) -> Dye:
    here.only(DYE_KEYS)
    # The uppermost layer that says how much decides which way it is said.
    given = next((ways for layer in here.layers if (ways := [w for w in _WAYS if w in layer])), [])
    name = here.name or "dye"
    if len(given) != 1:
        here.note(
            given[1] if given else "amount",
            "Nothing says how much dye." if not given else "The dye is given more than once.",
            'Give exactly one of amount ("0.5 g"), percent, drops or blocks, with per = "1 kg".',
        )
        return Dye(name=name, per_wax=Fraction1(0.0))
    way = given[0]
    if way == "percent":
        return Dye(name=name, per_wax=Fraction1(here.number(way) or 0.0))
    per = here.needed("per", "The mass of wax this dye is for")
    amount = here.number(way) or 0.0
    if way == "amount":
        return Dye(name=name, per_wax=Fraction1(amount / per))
    each = here.needed(f"{way[:-1]}_mass", f"The mass of one {way[:-1]}")
    return Dye(
        name=name, per_wax=Fraction1(amount * each / per), counted=way, unit_mass=Kilogram(each)
    )


def read_additives(raw: Any, shelf: Shelf, problems: Problems) -> tuple[Additive, ...]:
    """Return the additives, as fractions of the wax."""
    found = []
    for here in _listed(raw, "additives", "additive", shelf, problems):
        here.only(ADDITIVE_KEYS)
        percent = here.needed("percent", "The additive's percentage of the wax")
        found.append(Additive(name=here.name or "additive", of_wax=Fraction1(percent)))
    return tuple(found)


def _listed(raw: Any, place: str, role: str, shelf: Shelf, problems: Problems) -> Iterator[Section]:
    for at, row in rows(raw, place, problems):
        mixed = row
        if isinstance(row, Mapping):
            mixed = {key: value for key, value in row.items() if key not in SAFETY_KEYS}
        yield section(mixed, place=at, field=place, role=role, shelf=shelf, problems=problems)

"""The finished candle (or an oil by itself) as substances, added up per CAS number first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from math import fsum

from rushlight.hazard.component import Ate, Component, Route, SpecificLimit
from rushlight.hazard.data import table
from rushlight.hazard.oil import SafetySheet
from rushlight.quantity.si import Fraction1, Kelvin

NOTHING = 1e-9  # rounding of a sum of shares


class Form(StrEnum):
    """Whether the mixture is a solid or a liquid at room temperature."""

    SOLID = "solid"
    LIQUID = "liquid"


@dataclass(frozen=True, slots=True)
class Part:
    """A sheet and the share [1] of the mixture that is this oil or dye."""

    sheet: SafetySheet
    share: Fraction1


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a substance comes from: an oil's share of the mixture, its share of the oil [1]."""

    sheet: str
    of_mixture: Fraction1
    in_sheet: Fraction1


@dataclass(frozen=True, slots=True, kw_only=True)
class Ingredient:
    """A substance of the finished mixture; share is of everything [1].

    tokens: its classes in the words of the tables, with "not additive" and
    "extreme pH" where Table 3.2.4 applies. limits: lowest specific limit by outcome [1].
    """

    key: str
    name: str
    cas: str
    share: Fraction1
    tokens: frozenset[str]
    m_acute: float | None
    m_chronic: float | None
    limits: dict[str, float]
    ates: dict[Route, float]
    unknown: frozenset[Route]
    origins: tuple[Origin, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """What is classified. flash_point, boiling_point [K]; viscosity at 40 °C [m²/s]."""

    name: str
    form: Form
    ingredients: tuple[Ingredient, ...]
    ph: float | None = None
    flash_point: Kelvin | None = None
    boiling_point: Kelvin | None = None
    viscosity: float | None = None
    notes: tuple[str, ...] = ()


def of_parts(name: str, parts: Iterable[Part], *, form: Form = Form.SOLID) -> Mixture:
    """Return the mixture of several sheets: the same CAS number is one substance.

    share = Σ over sheets of (sheet's share of the mixture × upper end in the sheet).
    Where sheets disagree on a substance, the more cautious fact is kept.
    """
    held = [part for part in parts if part.share > 0.0]
    lines: dict[str, list[tuple[Part, Component]]] = {}
    for part in held:
        for component in part.sheet.components:
            lines.setdefault(component.key, []).append((part, component))
    liquid = form is Form.LIQUID
    flashes = [part.sheet.flash_point for part in held]
    known = [flash for flash in flashes if flash is not None]
    return Mixture(
        name=name,
        form=form,
        ingredients=tuple(_merged(key, found) for key, found in lines.items()),
        ph=held[0].sheet.ph if len(held) == 1 else None,
        flash_point=min(known) if liquid and known else None,
        boiling_point=held[0].sheet.boiling_point if len(held) == 1 else None,
        viscosity=held[0].sheet.viscosity if len(held) == 1 else None,
        notes=tuple(_notes(held)),
    )


def of_oil(sheet: SafetySheet) -> Mixture:
    """Return an oil by itself: a liquid at room temperature."""
    return of_parts(sheet.name, [Part(sheet, Fraction1(1.0))], form=Form.LIQUID)


def _merged(key: str, found: list[tuple[Part, Component]]) -> Ingredient:
    """Return one substance of all its lines, each fact the most cautious of theirs."""
    components = [component for _, component in found]
    first = components[0]
    if len(found) == 1:
        return _single(key, found[0][0], first)
    return Ingredient(
        key=key,
        name=min((c.name for c in components), key=lambda name: (name.casefold(), name)),
        cas=first.cas,
        share=Fraction1(min(1.0, fsum(part.share * c.high for part, c in found))),
        tokens=frozenset().union(*(_tokens(c) for c in components)),
        m_acute=_most(c.m_acute for c in components),
        m_chronic=_most(c.m_chronic for c in components),
        limits=_lowest(limit for c in components for limit in c.limits),
        ates=_strictest(ate for c in components for ate in c.ates),
        unknown=frozenset().union(*(c.unknown for c in components)),
        origins=tuple(
            Origin(part.sheet.name, part.share, component.high) for part, component in found
        ),
    )


def _single(key: str, part: Part, component: Component) -> Ingredient:
    """Return a substance that only one sheet lists once: the usual case, made quickly."""
    return Ingredient(
        key=key,
        name=component.name,
        cas=component.cas,
        share=Fraction1(min(1.0, part.share * component.high)),
        tokens=_tokens(component),
        m_acute=component.m_acute,
        m_chronic=component.m_chronic,
        limits=_lowest(component.limits) if component.limits else {},
        ates=_strictest(component.ates) if component.ates else {},
        unknown=component.unknown,
        origins=(Origin(part.sheet.name, part.share, component.high),),
    )


def is_extreme(ph: float) -> bool:
    """Tell whether a pH [1] is at or below 2, or at or above 11.5 (CLP Annex I, 3.2.3.1.2)."""
    bounds = table("skin")["extreme_ph"]
    return not bounds["low"] < ph < bounds["high"]


_BY_EITHER_TABLE = ("Skin Corr. 1", "Skin Irrit. 2", "Eye Dam. 1", "Eye Irrit. 2")


def _tokens(component: Component) -> frozenset[str]:
    """Return the classes, moved to Table 3.2.4's side where additivity does not apply."""
    extreme = component.ph is not None and is_extreme(component.ph)
    if component.additive and not extreme:
        return frozenset(component.classes)
    moved = {"extreme pH"} if extreme else set()
    for code in component.classes:
        stem = next((c for c in _BY_EITHER_TABLE if code.startswith(c)), None)
        moved.add(f"{stem}, not additive" if stem else code)
    return frozenset(moved)


def _most(values: Iterable[float | None]) -> float | None:
    return max((value for value in values if value is not None), default=None)


def _lowest(limits: Iterable[SpecificLimit]) -> dict[str, float]:
    lowest: dict[str, float] = {}
    for limit in limits:
        lowest[limit.code] = min(limit.low, lowest.get(limit.code, 1.0))
    return lowest


def _strictest(ates: Iterable[Ate]) -> dict[Route, float]:
    strictest: dict[Route, float] = {}
    for ate in ates:
        strictest[ate.route] = min(ate.value, strictest.get(ate.route, ate.value))
    return strictest


def _notes(parts: Iterable[Part]) -> Iterable[str]:
    for part in parts:
        sheet = part.sheet
        if sheet.unlisted > NOTHING:
            yield (
                f"{sheet.unlisted * 100:.4g} % of {sheet.name} is not listed in section 3;"
                " it is taken as not classified."
            )
        if sheet.listed > 1.0 + NOTHING:
            yield (
                f"The upper ends of {sheet.name} add up to {sheet.listed * 100:.4g} %:"
                " a cautious over-count."
            )

"""Numbers with units, as typed, into SI; and what to say when the unit is not the right one."""

from __future__ import annotations

from dataclasses import replace

from rushlight.errors import BadInput
from rushlight.quantity import reading, units
from rushlight.quantity.reading import Term, quoted
from rushlight.quantity.units import Kind, Unit

EXAMPLES = {
    Kind.MASS: "“250 g”, “8 oz” or “1 lb 4 oz”",
    Kind.VOLUME: "“250 ml” or “8 fl oz”",
    Kind.LENGTH: "“70 mm” or “2 3/4 in”",
    Kind.TEMPERATURE: "“85 °C” or “185 °F”",
    Kind.DURATION: "“90 s”, “2 min”, “1 h 30 min” or “2 weeks”",
    Kind.POWER: "“1500 W” or “1.5 kW”",
    Kind.FRACTION: "“8 %”",
}

_OUNCE = "an ounce (oz) weighs 28.35 g"
_FLUID_OUNCE = "a fluid ounce (fl oz) is a space of 29.57 ml (28.41 ml the imperial one)"


def amount(text: str, kind: Kind, default: str | None) -> float:
    """Return the sum of the numbers times their units [SI], never negative."""
    found = reading.terms(text, example=EXAMPLES[kind])
    of = [_unit(term, kind, default if len(found) == 1 else None) for term in found]
    for earlier, term, later in zip(of, found, of[1:], strict=False):
        if earlier.family != later.family or earlier.factor <= later.factor or not earlier.family:
            raise BadInput.one(
                f"{quoted(text)} joins units that do not belong together.",
                f"Type one {kind}, like {EXAMPLES[kind]}.",
            )
        if term.number.denominator != 1:
            raise BadInput.one(
                f"{quoted(text)} has a part of a {earlier.name} and then {later.name}.",
                f"Use a whole number of {earlier.name} before {later.name}.",
            )
    if any(term.number < 0 for term in found):
        raise BadInput.one(
            f"{quoted(text)} is less than zero.", f"A {kind} is zero or more: leave out the minus."
        )
    return float(sum(term.number * unit.factor for term, unit in zip(found, of, strict=True)))


def single(text: str, kind: Kind, default: str | None) -> tuple[Term, Unit]:
    """Return the one number and its unit."""
    found = reading.terms(text, example=EXAMPLES[kind])
    if len(found) > 1:
        raise BadInput.one(
            f"{quoted(text)} is more than one {kind}.", f"Type one, like {EXAMPLES[kind]}."
        )
    bare = "" if found[0].unit == "°" else found[0].unit  # "85°" leaves the scale open
    term = replace(found[0], unit=bare)
    return term, _unit(term, kind, default)


def _unit(term: Term, kind: Kind, default: str | None) -> Unit:
    """Return the unit that was typed, or the default one after a bare number."""
    word = term.unit or default
    if word is None:
        raise BadInput.one(*_no_unit(term, kind))
    found = units.find(word, kind)
    if found is not None:
        return found
    if not term.unit:
        raise ValueError(f"no unit of {kind} is called {default!r}")
    raise BadInput.one(*_wrong_unit(term, kind))


def _no_unit(term: Term, kind: Kind) -> tuple[str, str]:
    """Say that a unit is missing."""
    if kind is Kind.FRACTION:
        hundred = f"{float(term.number * 100):.10g}"
        if 0 < term.number <= 1:
            return (
                f"{quoted(term.typed)} could be {term.typed} % or {hundred} %.",
                f"Type “{term.typed} %” or “{hundred} %”.",
            )
        return f"{quoted(term.typed)} has no percent sign.", f"Type “{term.typed} %”."
    return f"{quoted(term.typed)} has no unit.", f"Type it with its unit, like {EXAMPLES[kind]}."


def _wrong_unit(term: Term, kind: Kind) -> tuple[str, str]:
    """Say what the unit is and what is wanted; ounces and fluid ounces are told apart."""
    other = next(iter(units.meanings(term.unit)), None)
    typed = term.typed.removesuffix(term.unit).strip()
    if other is None:
        return (
            f"{quoted(term.unit)} is not a unit of {kind} known here.",
            f"Type it like {EXAMPLES[kind]}.",
        )
    apart = f"wax that fills {typed} fl oz does not weigh {typed} oz"
    if kind is Kind.VOLUME and other.name == "oz":
        return (
            f"{quoted(term.typed)} is a weight: {_OUNCE}, while {_FLUID_OUNCE}, and {apart}.",
            f"Type “{typed} fl oz” if that is what the jar holds.",
        )
    if kind is Kind.MASS and other.name.endswith("fl oz"):
        return (
            f"{quoted(term.typed)} is a volume: {_FLUID_OUNCE}, while {_OUNCE}, and {apart}.",
            f"Weigh it, and type “{typed} oz” if that is its weight.",
        )
    return (
        f"{quoted(term.typed)} is a {other.kind}, but a {kind} is wanted here.",
        f"Type it like {EXAMPLES[kind]}.",
    )

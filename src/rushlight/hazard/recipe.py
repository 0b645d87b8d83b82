"""A candle for classification: fragrance blend, sheeted dyes, wax, and a load that can move."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import fsum

from rushlight.candle.sheet import JarSheet, Role
from rushlight.hazard.basis import Basis, from_total
from rushlight.hazard.document import Key
from rushlight.hazard.mixture import Form, Mixture, Part, of_parts
from rushlight.hazard.oil import SafetySheet
from rushlight.quantity.si import Fraction1

ALL = Fraction1(1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """What the finished candle is made of.

    oils: shares [1] of the fragrance blend, adding up to 1 with those unsheeted. others: dyes
    and additives that have a sheet, as shares [1] of everything but the fragrance; wax: the
    wax's share of it. load: the fragrance's share of everything poured [1]. unsheeted: what is
    in it without a safety data sheet; its hazards are unknown, and that is said.
    """

    name: str
    oils: tuple[Part, ...]
    load: Fraction1
    others: tuple[Part, ...] = ()
    wax: Fraction1 = ALL
    unsheeted: tuple[str, ...] = ()

    @property
    def basis(self) -> Basis:
        """The load, of the wax and of the total."""
        return from_total(self.load, wax=self.wax)

    def mixture(self, load: float | None = None) -> Mixture:
        """Return the finished candle at a load of the total [1]; its own when not given."""
        at = self.load if load is None else load
        parts = [Part(part.sheet, Fraction1(part.share * at)) for part in self.oils]
        parts += [Part(part.sheet, Fraction1(part.share * (1.0 - at))) for part in self.others]
        made = of_parts(self.name, parts, form=Form.SOLID)
        unknown = (
            f"There is no safety data sheet for {name}: its hazards are unknown and not counted."
            for name in self.unsheeted
        )
        return replace(made, notes=(*made.notes, *unknown))


def from_jar(jar: JarSheet, sheets: Mapping[Key, SafetySheet]) -> Recipe:
    """Return the recipe of a weighed-out candle.

    Shares come from the jar's lines (of everything poured); `sheets` by role and name.
    The wax itself is taken as not classified unless it has a sheet.
    """
    poured = [line for line in jar.lines if line.of_total > 0.0]
    oils = [line for line in poured if line.role is Role.FRAGRANCE]
    rest = [line for line in poured if line.role is not Role.FRAGRANCE]
    load = fsum(line.of_total for line in oils)
    whole = 1.0 - load
    wax = fsum(line.of_total for line in rest if line.role is Role.WAX)
    return Recipe(
        name=jar.candle.name,
        oils=tuple(
            Part(sheets[line.role, line.name], Fraction1(line.of_total / load))
            for line in oils
            if (line.role, line.name) in sheets
        ),
        load=Fraction1(load),
        others=tuple(
            Part(sheets[line.role, line.name], Fraction1(line.of_total / whole))
            for line in rest
            if (line.role, line.name) in sheets
        ),
        wax=Fraction1(wax / whole),
        unsheeted=tuple(name for _, name in without_sheet(jar, sheets)),
    )


def without_sheet(jar: JarSheet, sheets: Mapping[Key, SafetySheet]) -> tuple[Key, ...]:
    """Return what is poured without a safety data sheet, wax apart: its hazards are unknown."""
    keys = ((line.role, line.name) for line in jar.lines if line.of_total > 0.0)
    return tuple(key for key in keys if key[0] is not Role.WAX and key not in sheets)

"""Whether as many jars can have come out of a pour as are said to have.

A slip of one digit would make jars out of nothing, and a tenth of the true cost. So the good and
the rejected jars are held against the vessels taken and the mix weighed; what does not agree is
asked about, never refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import TYPE_CHECKING, Final

from rushlight.quantity import show
from rushlight.quantity.si import Fraction1, Kilogram

if TYPE_CHECKING:
    from rushlight.quantity.preference import Preference

BY_EYE: Final = Fraction1(0.05)
"""How far below its weight a jar may be filled by eye: 3 mm of 60 mm (common practice)."""
_SCRAPED: Final = 0.5
"""A jar half full is filled by scraping the pot (common practice)."""
_EXACT: Final = 1e-9  # a mix that fills its jars exactly must not lose one by a rounding error


@dataclass(frozen=True, slots=True, kw_only=True)
class Fillable:
    """What says how many jars a pour gave.

    wanted: jars. vessels: those taken, spares among them, less those left over. fill: the mix
    in one jar [kg]. mix: what was weighed for the jars, less what is left over [kg]. allowed:
    what the plan adds for the pot and for spills [kg].
    """

    wanted: int
    vessels: int
    fill: Kilogram
    mix: Kilogram
    allowed: Kilogram

    @property
    def fewest(self) -> int:
        """Jars there must be; a spare is for tests and accidents, and need not be told of."""
        return min(self.wanted, self.vessels, self._filled)

    @property
    def most(self) -> int:
        """Jars there can be: a vessel for each, filled as low as by eye, the pot scraped clean."""
        stretched = (self.mix + self.allowed) / (self.fill * (1 - BY_EYE))
        return max(min(self.vessels, floor(stretched + _EXACT)), self.fewest)

    @property
    def _filled(self) -> int:
        return max(floor(self.mix / self.fill + _SCRAPED + _EXACT), 0)

    def question(self, good: int, rejected: int, shown: Preference) -> str:
        """Return what does not agree, in words with its numbers; empty where all does."""
        total = good + rejected
        told = f"{good} good and {rejected or 'none'} rejected"
        if total > self.most:
            return f"{self._room(shown)}; {told} are {total - self.most} too many."
        if total < self.fewest:
            poured, gone = self._poured(shown)
            return f"{poured}; {told} leave {gone - total} unaccounted for."
        return ""

    def _room(self, shown: Preference) -> str:
        if self.most == self.vessels:
            return f"{_jars(self.vessels)} {_were(self.vessels)} poured, by the vessels taken"
        return self._by_weight(self.most, shown)

    def _poured(self, shown: Preference) -> tuple[str, int]:
        if self._filled < min(self.wanted, self.vessels):
            return self._by_weight(self.fewest, shown), self.fewest
        spare = self.vessels - self.wanted
        also = f", {spare} of them spare" if spare > 0 else ""
        return f"{_jars(self.vessels)} {_were(self.vessels)} poured{also}", self.vessels

    def _by_weight(self, jars: int, shown: Preference) -> str:
        mass, each = show.mass(Kilogram(max(self.mix, 0.0)), shown), show.mass(self.fill, shown)
        return f"What was weighed and not left over, {mass}, fills {_jars(jars)} of {each}"


def _jars(count: int) -> str:
    return f"{count} jar{'' if count == 1 else 's'}"


def _were(count: int) -> str:
    return "was" if count == 1 else "were"

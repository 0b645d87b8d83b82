"""The number under the bars: its check digit, who may use it, and its bars.

A number is licensed from GS1 by the maker; nothing here ever makes one up.
"""

from __future__ import annotations

from dataclasses import dataclass

from rushlight.errors import BadInput

MODULE = 0.330
"""Width of the narrowest bar at magnification 1 [mm] (GS1 General Specifications, EAN/UPC;
from memory)."""
SMALLEST, LARGEST = 0.8, 2.0  # magnification (GS1 General Specifications; from memory)
IN_HOUSE = "20–29 (also 020–029, 040–049, 200–299): for use inside one's own shop only"
_UPC, _EAN_8, _EAN_13 = 12, 8, 13
# GS1 prefixes of restricted circulation, from memory
_RESTRICTED = (range(20, 30), range(40, 50), range(200, 300))
# Quiet zones in modules, left and right, and height of the bars [mm] at magnification 1
# (GS1 General Specifications; from memory)
_QUIET = {_EAN_13: (11, 7), _UPC: (9, 9), _EAN_8: (7, 7)}
_HEIGHT = {_EAN_13: 22.85, _UPC: 22.85, _EAN_8: 18.23}
_GUARD = 5  # modules by which the guard bars are longer


def check_digit(body: str) -> int:
    """Return the check digit of a number without it.

    Weights 3, 1, 3, 1 … from the right; what is missing to the next ten (GS1, "How to
    calculate a check digit manually").
    """
    total = sum(int(d) * (3 if at % 2 == 0 else 1) for at, d in enumerate(reversed(body)))
    return (10 - total % 10) % 10


@dataclass(frozen=True, slots=True)
class Gtin:
    """A GTIN of 8, 12 or 13 digits whose check digit is right."""

    digits: str

    def __post_init__(self) -> None:
        """Refuse what is no GTIN."""
        digits = self.digits
        if not (digits.isascii() and digits.isdigit() and len(digits) in _QUIET):
            raise BadInput.one(
                f"“{digits}” is no GTIN of 8, 12 or 13 digits.",
                "Type the number as GS1 licensed it to you, its last digit included.",
                "gtin",
            )
        right = check_digit(digits[:-1])
        if int(digits[-1]) != right:
            raise BadInput.one(
                f"The check digit of {digits} is {digits[-1]}; the other digits call for {right}.",
                "Compare with the licence: one of the digits is wrong.",
                "gtin",
            )

    @property
    def in_house(self) -> bool:
        """Whether its prefix is one of restricted circulation."""
        first = self.digits if len(self.digits) != _UPC else f"0{self.digits}"
        if len(first) == _EAN_8:
            return first[0] in "02"
        return any(int(first[:3]) in block for block in _RESTRICTED)

    @property
    def note(self) -> str:
        """A remark to show beside the field; empty for a number of the open market."""
        if not self.in_house:
            return ""
        return f"{self.digits} lies in a range kept for in-house use: no other shop can read it."

    @property
    def modules(self) -> str:
        """The symbol as a row of modules: 1 a bar, 0 a space, G a longer guard bar."""
        from barcode.ean import EAN8_GUARD, EAN13_GUARD

        if len(self.digits) == _EAN_8:
            return str(EAN8_GUARD(self.digits).build()[0])
        return str(EAN13_GUARD(self.digits.zfill(_EAN_13)).build()[0])

    @property
    def groups(self) -> tuple[tuple[float, float, str], ...]:
        """Figures under the bars: first and last module of their place, from the symbol's left."""
        d = self.digits
        if len(d) == _EAN_8:
            return ((3, 31, d[:4]), (36, 64, d[4:]))
        if len(d) == _UPC:
            return ((-9, -2, d[0]), (10, 45, d[1:6]), (50, 85, d[6:11]), (97, 104, d[11]))
        return ((-11, -2, d[0]), (3, 45, d[1:7]), (50, 92, d[7:]))

    @property
    def quiet(self) -> tuple[int, int]:
        """Empty modules to the left and to the right."""
        return _QUIET[len(self.digits)]

    @property
    def height(self) -> float:
        """Height of the bars at magnification 1 [mm]."""
        return _HEIGHT[len(self.digits)]

    @property
    def guard(self) -> int:
        """Modules by which the guard bars are longer than the others."""
        return _GUARD

    def width(self, magnification: float) -> float:
        """Width of the symbol with its quiet zones [mm]."""
        return (len(self.modules) + sum(self.quiet)) * MODULE * magnification

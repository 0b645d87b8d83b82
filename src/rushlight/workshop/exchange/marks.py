"""Decimal marks: a column that has both is never guessed at."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rushlight.quantity.reading import quoted

_NUMBER: Final = re.compile(r"[0-9][0-9.,]*")
_THREE: Final = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
_WORDS: Final = {".": "point", ",": "comma"}


@dataclass(frozen=True, slots=True)
class Marked:
    """The decimal marks a cell surely has, and the text that may mean either, if any."""

    sure: frozenset[str]
    either: str = ""


def marked(text: str) -> Marked:
    """Return the decimal marks of the numbers in a cell.

    “1,5” has a comma; “1,250.5” and “1,250,000” a point, for the comma parts thousands;
    “1.250” may have either. “1,250” is refused by whoever reads it, or a whole number.
    """
    sure, either = set(), ""
    for found in _NUMBER.findall(text):
        number = found.rstrip(".,")
        signs = [c for c in number if c in _WORDS]
        if not signs:
            continue
        if len(set(signs)) > 1:
            sure.add(signs[-1])
        elif len(signs) > 1:
            sure.add("." if signs[0] == "," else ",")
        elif _THREE.fullmatch(number):
            either = number
        elif re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", number) is None:
            sure.add(signs[0])
    return Marked(frozenset(sure), either)


def mark_problems(cells: Sequence[tuple[int, str]], usual: str) -> dict[int, tuple[str, str]]:
    """Return what is wrong with the decimal marks of a column: (what, remedy) by row.

    cells: row numbers with texts. usual: the decimal mark of the workshop. Where both marks
    occur, every row that has not the usual one is a problem; where the comma is the mark of
    the column or the workshop, so is “1.250”, which is a thousand to those who write so.
    """
    found = [(number, text, marked(text)) for number, text in cells]
    rows = {mark: [n for n, _, m in found if mark in m.sure] for mark in _WORDS}
    mixed = all(rows.values())
    other = "." if usual == "," else ","
    problems = {}
    for number, text, has in found:
        if mixed and other in has.sure:
            what = (
                f"{quoted(text)} has a decimal {_WORDS[other]}, and row {rows[usual][0]} of this "
                f"column a decimal {_WORDS[usual]}."
            )
            problems[number] = (what, f"Write the whole column with a decimal {_WORDS[usual]}.")
        elif has.either and (usual == "," or rows[","]):
            whole, part = has.either.split(".")
            decimal = f"{whole},{part.rstrip('0') or '0'}"
            remedy = f"Write {whole}{part} for the thousand, or {decimal} for the decimal."
            problems[number] = (f"{quoted(text)} can be read in two ways.", remedy)
    return problems

"""The fire-safety warning: the alert sign, the word, what to do, and signs for it.

Messages and signs are ours, after what every candle's warning says (common practice). The
standards ASTM F2058 and EN 15494 prescribe wording, size and which signs are needed; they
are sold, and whoever follows one compares this label with it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from rushlight.errors import BadInput
from rushlight.press.labels.design import (
    Align,
    Column,
    Gap,
    Label,
    Lettering,
    Outline,
    Part,
    Row,
    Shape,
    Signs,
    Words,
)
from rushlight.press.labels.faces import Face

LEAST_SIGN = 5.0
"""Least height of a sign [mm] (EN 15494:2019, secondary source)."""
SIGN_RULE = "the least height of a safety sign (EN 15494, secondary source)"
NOTE = "Compare with the standard you follow (ASTM F2058, EN 15494): wording, size, signs."
CORE = ("sight", "burnable", "children")
_MOST_IN_A_ROW = 5
USUAL = (*CORE, "trim", "hours", "draught", "surface", "move", "debris")


class Style(StrEnum):
    """How the messages are given."""

    WORDS = "words"
    SIGNS = "signs"
    BOTH = "words and signs"


@cache
def _table() -> dict[str, Any]:
    """Read the statements."""
    return tomllib.loads(Path(__file__).with_name("fire.toml").read_text("utf-8"))


def languages() -> tuple[str, ...]:
    """Return the languages the statements come in."""
    return tuple(_table()["word"])


def statements(keys: Sequence[str], language: str, *, trim: str = "5 mm") -> tuple[str, ...]:
    """Return the statements of some keys in a language; trim: the wick's length, as text.

    Raises BadInput for a key or a language that is not there, or where one of the three
    core messages is missing.
    """
    known = {row["key"]: row for row in _table()["statement"]}
    if language not in languages():
        raise BadInput.one(
            f"There are no fire-safety statements in “{language}”.",
            f"Choose one of {', '.join(languages())}.",
            "language",
        )
    unknown = [key for key in keys if key not in known]
    missing = [key for key in CORE if key not in keys]
    if unknown:
        raise BadInput.one(
            f"There is no statement “{unknown[0]}”.", f"Choose from {', '.join(known)}.", "keys"
        )
    if missing:
        raise BadInput.one(
            f"The core message “{known[missing[0]][language]}” is missing.",
            "Keep all three: within sight, things that catch fire, children and pets.",
            "keys",
        )
    return tuple(known[key][language].replace("{trim}", trim) for key in keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class Warn:
    """The warning: its messages, in words, signs or both.

    keys: which messages, the core ones among them; trim: the wick's length, as text;
    x_height: of the words, sign_height: of each sign [mm].
    """

    language: str = "en"
    keys: tuple[str, ...] = USUAL
    style: Style = Style.BOTH
    trim: str = "5 mm"
    x_height: float = 1.1
    sign_height: float = 8.0

    def label(self, outline: Outline) -> Label:
        """Return the warning as a label of its own; its lines are centred on a round one."""
        align = Align.CENTRE if outline.shape is Shape.ROUND else Align.LEFT
        return Label(
            name="fire safety",
            outline=outline,
            parts=self.parts(align),
            language=self.language,
            notes=(NOTE,),
        )

    def parts(self, align: Align = Align.LEFT) -> tuple[Part, ...]:
        """Return the warning as parts, to stand on a label with others."""
        told = " ".join(statements(self.keys, self.language, trim=self.trim))
        made: list[Part] = [_alert(self.language, self.x_height, align)]
        if self.style is not Style.WORDS:
            made += [Gap(self.x_height * 0.8), *self._signs(align)]
        if self.style is not Style.SIGNS:
            letters = Lettering(x_height=self.x_height)
            made += [
                Gap(self.x_height),
                Words(text=told, letters=letters, align=align, place="fire safety"),
            ]
        return tuple(made)

    def _signs(self, align: Align) -> list[Part]:
        """Return the signs in even rows of at most five."""
        rows = -(-len(self.keys) // _MOST_IN_A_ROW)
        each = -(-len(self.keys) // rows)
        gap = self.sign_height * 0.16
        parts: list[Part] = []
        for at in range(0, len(self.keys), each):
            parts += [Gap(gap)] if parts else []
            parts.append(
                Signs(
                    names=tuple(f"fire-{key}" for key in self.keys[at : at + each]),
                    height=self.sign_height,
                    gap=gap,
                    align=align,
                    least=LEAST_SIGN,
                    rule=SIGN_RULE,
                )
            )
        return parts


def _alert(language: str, x_height: float, align: Align) -> Part:
    """Return the safety alert sign and, at once after it, the word in bold capitals."""
    letters = Lettering(face=Face.SANS_BOLD, x_height=x_height * 1.7, tracking=0.04)
    word = Words(text=_table()["word"][language], letters=letters, align=align, place="alert word")
    side = letters.size * 1.05
    sign = Signs(names=("warning",), height=side)
    if align is Align.CENTRE:
        above = Signs(names=("warning",), height=side * 1.3, align=Align.CENTRE)
        return Column(parts=(above, Gap(x_height * 0.5), word))
    return Row(parts=(sign, word), gap=side * 0.3)

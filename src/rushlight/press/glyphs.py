"""Text that the vendored fonts can print, and nothing that could disturb a line.

Whatever a maker typed has to come out on paper as she would read it. Where the fonts
have no shape for a character (an emoji, a script they do not cover) a lozenge stands
in its place, and the sheet says so, rather than a silent gap.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from functools import cache
from pathlib import Path

COVERAGE = Path(__file__).parent / "fonts" / "coverage.txt"
STAND_IN = "◊"
LONGEST_RUN = 18  # characters without a space before a break is allowed within
BREAK = "\u200b"  # a break may be made here; takes no room
NO_BREAK = "\u00a0"  # a space at which no line ends, as between a figure and its unit
_NO_BREAKS = frozenset("\u00a0\u2007\u202f")  # those of Unicode, figure and narrow ones too
_TIED = re.compile(f"[{''.join(sorted(_NO_BREAKS))}]")
_SPACES = re.compile(r"\s+")
_PLAIN = re.compile(rf"(?:[!-~]{{1,{LONGEST_RUN}}}(?: [!-~]{{1,{LONGEST_RUN}}})*)?")


@cache
def _covered() -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Read the ranges of characters that every vendored face has: firsts and lasts."""
    ranges = [line.split("-") for line in COVERAGE.read_text("ascii").split()]
    return (
        tuple(int(first, 16) for first, _ in ranges),
        tuple(int(last, 16) for _, last in ranges),
    )


def has_glyph(character: str) -> bool:
    """Say whether every vendored face can print the character."""
    firsts, lasts = _covered()
    at = bisect_right(firsts, ord(character)) - 1
    return at >= 0 and ord(character) <= lasts[at]


def printable(text: str) -> str:
    """Return the text as it can be printed on one line of running text.

    Spaces, line ends and tabs become single spaces; a space that breaks no line stays one;
    invisible marks (joiners, direction overrides, control characters) go; a character
    without a glyph becomes the stand-in. A run that is too long for a column gives up its
    unbroken spaces, and a word that is too long gets places where it may break.
    """
    if _PLAIN.fullmatch(text):  # as nearly all of a long list is
        return text
    spaced = _SPACES.sub(lambda found: _space(found[0]), text.strip())
    composed = unicodedata.normalize("NFC", spaced)
    kept = [_one(character) for character in composed]
    return " ".join(_breakable(word) for word in "".join(kept).split(" "))


def _space(run: str) -> str:
    """Return the one space to print for a run of them."""
    if not _NO_BREAKS.issuperset(run):
        return " "
    return run[0] if has_glyph(run[0]) else NO_BREAK


def _one(character: str) -> str:
    """Return what to print for one character."""
    if unicodedata.category(character) in {"Cc", "Cf"} or character in "\ufe0e\ufe0f":
        return ""
    return character if has_glyph(character) else STAND_IN


def _breakable(word: str) -> str:
    """Return a run with places where it may break, when it is too long for a column."""
    if len(word) <= LONGEST_RUN:
        return word
    pieces = _TIED.split(word)
    if len(pieces) > 1:
        return " ".join(_breakable(piece) for piece in pieces)
    half = LONGEST_RUN // 2
    return BREAK.join(word[at : at + half] for at in range(0, len(word), half))


def shortened(text: str, *, longest: int) -> str:
    """Return the text cut to at most `longest` characters, with an ellipsis if cut."""
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"

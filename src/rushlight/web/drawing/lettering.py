"""How wide a text is drawn, and where to break or cut it so that it keeps to its place.

The server cannot ask the browser, so widths are taken from a table of the vendored sans,
rounded up; what the table does not know counts as wider than it mostly is.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import cache

# Advance widths of Source Sans 3 Semibold and Regular, whichever is wider, in sizes, rounded
# up to a twentieth (hmtx table; a test reads them from the font files).
_CLASSES = {
    0.2: " \u00a0",
    0.3: "',.:;Iijl|·‘’",
    0.35: "!()-/[\\]f{}°",
    0.4: "rt",
    0.45: "*?sz",
    0.5: '"J_cvxy–“”',
    0.55: "#$+0123456789<=>EFLSTVXYZ^`aegko~×£€ø",
    0.6: "ABCKPRbdhnpqu",
    0.65: "&DGß",
    0.7: "HNOQUØ",
    0.75: "Mw",
    0.8: "W—æ",
    0.85: "%mÆœ",
    0.9: "@Œ",
    1.0: "…",
}
WIDTHS = {letter: wide for wide, letters in _CLASSES.items() for letter in letters}
SERIF = 1.25  # the serif's letters are at most so much wider than the sans's
_EMOJI, _OTHER = 1.4, 1.05
_SPACES = re.compile(r"\s+")
ELLIPSIS = "…"


@cache
def _advance(letter: str) -> float:
    """Return the width of one character in sizes."""
    known = WIDTHS.get(letter) or WIDTHS.get(unicodedata.normalize("NFD", letter)[0])
    if known is not None:
        return known
    kind = unicodedata.category(letter)
    if kind in {"Mn", "Me"}:
        return 0.0
    return _EMOJI if kind == "So" else _OTHER


def width(text: str, size: float) -> float:
    """Return how wide a text is at most, in the unit of its size."""
    return size * sum(map(_advance, text))


def shown(text: str) -> str:
    """Return a text fit to be drawn on a line: no control characters, none that turn it round."""
    kept = (c for c in _SPACES.sub(" ", text) if unicodedata.category(c) not in _UNSEEN)
    return "".join(kept).strip()


# controls, format characters (direction overrides among them), surrogates, what is no character
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Cn"})


def fitted(text: str, size: float, room: float) -> str:
    """Return the text, cut with an ellipsis where it is wider than its room."""
    if width(text, size) <= room:
        return text
    left = room - width(ELLIPSIS, size)
    for at, letter in enumerate(text):
        left -= size * _advance(letter)
        if left < 0:
            return text[:at].rstrip() + ELLIPSIS
    return text  # pragma: no cover -- it would have fitted


def wrapped(text: str, size: float, room: float, most: int) -> tuple[str, ...]:
    """Return the text in at most so many lines, the last cut where it does not end there."""
    lines: list[str] = []
    now = ""
    pieces = list(_pieces(text, size, room))
    for at, piece in enumerate(pieces):
        longer = f"{now} {piece}" if now else piece
        if width(longer, size) <= room:
            now = longer
        elif len(lines) + 1 == most:
            return (*lines, fitted(" ".join([now, *pieces[at:]]), size, room))
        else:
            lines.append(now)
            now = piece
    return (*lines, now) if now else tuple(lines)


def _pieces(text: str, size: float, room: float) -> Iterator[str]:
    """Yield the words, those wider than the room in parts."""
    for word in text.split():
        part = ""
        for letter in word if width(word, size) > room else ():
            if part and width(part + letter, size) > room:
                yield part
                part = ""
            part += letter
        yield part or word

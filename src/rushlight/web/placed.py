"""What a place in a form is called: `lines.0.supplier_lot` is "line 1, their lot"."""

from __future__ import annotations

from collections.abc import Mapping

from rushlight.workshop.stores.finish_form import REASONS

_ROWS = frozenset({"lines", "oils", "dyes", "additives", "finishes"})  # counted from 1 on the page
_OWN = frozenset({"lot", "pick", "left"})  # the name of what it is about is in its place
_UNSAID = frozenset({"fragrance", "move", "count", "back", "fill"})  # the heading says these
_CALLED = {
    "lines": "line",
    "oils": "oil",
    "dyes": "dye",
    "additives": "additive",
    "finishes": "finish",
    "supplier_lot": "their lot",
    "expires": "good until",
    "date_kind": "that date is",
    "buyer": "for whom",
    "contact": "how to reach them",
    "curing": "jars still curing",
    "reason": "why it differs",
    "count_wrong": "the count was wrong because",
    "found": "its code",
    "found_amount": "how much",
    "good": "good jars",
    "facts": "",
    "price": "price",
    "low_at": "say when below",
    "pick": "jars from",
    "left": "left over",
}


def called(place: str, named: Mapping[str, str] | None = None) -> str:
    """Return what a place is called in the words of the page; "" where it has none.

    named: places that have a name of their own, such as the code of the lot they are about.
    """
    if named and place in named:
        return named[place]
    path = [part for part in place.split(".") if part]
    if len(path) > 1 and path[0] == "rejected":
        return f"rejected, {REASONS.get(path[1], path[1]).lower()}"
    if len(path) > 2 and path[0] in _OWN:  # noqa: PLR2004 - its kind, a number, a code
        name = path[1] if path[0] == "left" else path[2]
        return f"{_word(path[0])} {name.replace('-', ' ') if path[0] == 'left' else name}"
    said: list[str] = []
    for at, part in enumerate(path):
        if part.isdecimal() and at and path[at - 1] in _ROWS:
            said[-1] = f"{said[-1]} {int(part) + 1}"
        elif len(path) == 1 or part not in _UNSAID:
            said.append(_word(part))
    return ", ".join(word for word in said if word)


def _word(part: str) -> str:
    return _CALLED.get(part, part.replace("_", " "))

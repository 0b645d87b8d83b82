"""At most six precautionary statements, chosen by written rules (CLP Art. 28).

1. Sold to the public: P102 first (and P101 where room is left), P501 last.
2. Hazards take turns, "Danger" before "Warning", each giving its most telling statement.
3. One that another already says is left out.
4. Once six are reached the rest is listed as left out, each with its reason.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from rushlight.hazard.classes import HazardClass
from rushlight.hazard.data import table

MOST = 6  # CLP Art. 28(3): normally no more than six (from memory)


@dataclass(frozen=True, slots=True)
class Choice:
    """A P statement with the reason it is on the label, or is not."""

    code: str
    reason: str


@dataclass(frozen=True, slots=True)
class Choices:
    """What is printed, in order, and what was left out."""

    taken: tuple[Choice, ...]
    left: tuple[Choice, ...]


def choose(hazards: Sequence[HazardClass], *, audience: str = "public") -> Choices:
    """Return at most six statements for hazards; audience "public" or "trade"."""
    if not hazards:
        return Choices((), ())
    data = table("precautions")
    public = audience == "public"
    wanted = _in_turns(hazards)
    first, *later = data["always"]["codes"] if public else (None,)
    ends = data["always"]["last"] if public else []
    queue = [Choice(first, "for the general public")] if first else []
    queue += wanted
    queue += [Choice(code, "for the general public") for code in later]
    taken: list[Choice] = []
    left: list[Choice] = []
    for choice in queue:
        codes = {c.code for c in queue}
        covering = [c for c in data["covered"].get(choice.code, ()) if c in codes]
        if covering:
            left.append(Choice(choice.code, f"{covering[0]} says it already"))
        elif len(taken) >= MOST - len(ends):
            left.append(Choice(choice.code, f"no room: {choice.reason}"))
        else:
            taken.append(choice)
    taken += [Choice(code, "disposal, for the general public") for code in ends]
    return Choices(tuple(taken), tuple(left))


def _in_turns(hazards: Sequence[HazardClass]) -> list[Choice]:
    """Each hazard's first statement, then each one's second, and so on; none twice."""
    proposals = table("precautions")["for"]
    ordered = sorted(hazards, key=lambda h: (h.signal != "Danger", h.pictogram == ""))
    columns = [
        [Choice(code, f"for {hazard.h}") for code in proposals.get(hazard.h, ())]
        for hazard in ordered
    ]
    seen: dict[str, Choice] = {}
    for turn in zip_longest(*columns):
        for choice in turn:
            if choice is not None:
                seen.setdefault(choice.code, choice)
    return list(seen.values())

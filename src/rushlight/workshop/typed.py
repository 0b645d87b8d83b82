"""Reading what was typed: one field at a time, every problem noted."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Collection, Mapping
from datetime import date
from typing import Any, Final, TypeVar

from rushlight.errors import BadInput, Problems

T = TypeVar("T")

LONGEST: Final = 200
LONGEST_NOTE: Final = 5000
_LONGEST_SLUG: Final = 60


class Typed:
    """Typed texts by field; reading one notes its problem and goes on."""

    def __init__(self, texts: Mapping[str, Any], known: Collection[str]) -> None:
        """Take the texts; a field that is not known is a problem at once."""
        self.problems = Problems()
        self.texts: dict[str, str] = {}
        self._unreadable: set[str] = set()
        for key, value in texts.items():
            if key not in known:
                shown = repr(str(key)[:40])
                self.problems.add(str(key)[:40], f"{shown} is not a field here.", "Leave it out.")
            elif isinstance(value, bool) or not isinstance(value, str | int | float):
                self.problems.add(key, "This is not a text.", "Type one value.")
            else:
                self.texts[key] = str(value)

    def text(self, key: str, default: str = "", *, longest: int = LONGEST) -> str:
        """Return a field as one line (or, where it may be long, several)."""
        text = self.texts.get(key, default).strip()
        lines = "\n\r\t" if longest > LONGEST else ""
        if len(text) > longest:
            what = f"This is {len(text)} characters long."
            remedy = f"Use at most {longest} characters."
        elif not all(c.isprintable() or c in lines for c in text):
            what, remedy = "This holds characters that cannot be printed.", "Type it anew."
        else:
            return text
        if key not in self._unreadable:  # a field may be read more than once
            self._unreadable.add(key)
            self.problems.add(key, what, remedy)
        return ""

    def needed(self, key: str, what: str, remedy: str) -> str:
        """Return a field that may not be empty."""
        text = " ".join(self.text(key).split())
        if not text and key not in self._unreadable:
            self.problems.add(key, what, remedy)
        return text

    def read(self, key: str, reader: Callable[[str], T], *, default: str = "") -> T | None:
        """Return a field read by a parser; None where it is empty or a problem was noted."""
        text = self.text(key, default) or default
        if not text or key in self._unreadable:
            return None
        try:
            return reader(text)
        except BadInput as bad:
            self.problems.extend(bad.at(key).problems)
            return None

    def choice(self, key: str, allowed: Collection[str], default: str) -> str:
        """Return a field that must be one of a few."""
        text = self.text(key, default) or default
        if text not in allowed:
            self.problems.add(
                key, "This is not one of the choices.", f"Choose from {', '.join(allowed)}."
            )
            return default
        return text


def within(reader: Callable[[str], T], low: float, high: float, said: str) -> Callable[[str], T]:
    """Return a parser that also refuses what lies outside low to high [SI of the parser]."""

    def read(text: str) -> T:
        value = reader(text)
        if not low <= float(value) <= high:  # type: ignore[arg-type]  # all are numbers
            raise BadInput.one(f"“{text}” is out of range.", f"Type {said}.")
        return value

    return read


def day(text: str) -> date:
    """Return a date typed as 2026-05-17."""
    try:
        found = date.fromisoformat(text.strip())
    except ValueError:
        raise BadInput.one(
            f"“{text[:40]}” is not a date.", "Type year, month and day, like 2026-05-17."
        ) from None
    if not 1990 <= found.year <= 2200:  # noqa: PLR2004 - the span of a workshop, not of a calendar
        raise BadInput.one(f"The year {found.year} is a slip.", "Type a date like 2026-05-17.")
    return found


def slug_of(name: str, taken: Callable[[str], bool]) -> str:
    """Return a free short name for an address: "painters-locker" for "Painter's Locker"."""
    plain = unicodedata.normalize("NFKD", name.replace("'", "").replace("’", ""))
    ascii_only = plain.encode("ascii", "ignore").decode().lower()
    base = re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-")[:_LONGEST_SLUG].strip("-") or "unnamed"
    slug, number = base, 2
    while taken(slug):
        slug, number = f"{base}-{number}", number + 1
    return slug

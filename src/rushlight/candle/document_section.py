"""One table of a candle document, laid over the facts of the material it uses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from rushlight.candle import limits
from rushlight.candle.document_table import Layer, as_text, blank, table, unknown_keys
from rushlight.candle.facts import TYPICAL, Fact, Shelf, fact
from rushlight.errors import BadInput, Problems


class Section:
    """Reads the fields of one table; a problem is noted and the reading goes on.

    place: dotted path of the table; field: the same without list positions, the key
    of `limits.LIMITS`. layers: what she typed first, then the material, then its kind.
    """

    def __init__(self, place: str, field: str, layers: Sequence[Layer], problems: Problems) -> None:
        """Lay the layers over each other."""
        self.place = place
        self.field = field
        self.layers = layers
        self.problems = problems

    def __contains__(self, key: str) -> bool:
        """Whether any layer says something of a key."""
        return self.fact(key) is not None

    def fact(self, key: str) -> Fact | None:
        """Return the uppermost fact of a key."""
        return next((layer[key] for layer in self.layers if key in layer), None)

    def note(self, key: str, what: str, remedy: str) -> None:
        """Note a problem of a field of this table."""
        self.problems.add(self.at(key), what, remedy)

    def at(self, key: str) -> str:
        """Return the dotted place of a field of this table."""
        return f"{self.place}.{key}".strip(".")

    def text(self, key: str, default: str = "") -> str:
        """Return a field as text."""
        found = self.fact(key)
        if found is None:
            return default
        try:
            return as_text(found.value)
        except BadInput as bad:
            self.problems.extend(bad.at(self.at(key)).problems)
            return default

    def number(self, key: str) -> float | None:
        """Return a field in SI, within its limits; None where nothing is said."""
        if key not in self:
            return None
        field = f"{self.field}.{key}"
        before = len(self.problems.found)
        text = self.text(key)
        if len(self.problems.found) > before:
            return limits.example(field)
        try:
            return limits.read(field, text)
        except BadInput as bad:
            self.problems.extend(bad.at(self.at(key)).problems)
            # A stand-in, so that the reading can go on; it never reaches the caller.
            return limits.example(field)

    def needed(self, key: str, what: str) -> float:
        """Return a field in SI; note a problem where nothing is said."""
        value = self.number(key)
        if value is not None:
            return value
        field = f"{self.field}.{key}"
        self.note(
            key, f"{what} is missing.", f'Type, for example, "{limits.LIMITS[field].example}".'
        )
        return limits.example(field)

    def flag(self, key: str) -> bool:
        """Return a yes-or-no field; no where nothing is said."""
        text = self.text(key, "no").casefold()
        if text in {"yes", "true", "on", "1"}:
            return True
        if text not in {"no", "false", "off", "0"}:
            self.note(key, f"“{text}” is neither yes nor no.", 'Type "yes" or "no".')
        return False

    def only(self, known: Iterable[str]) -> None:
        """Note every typed key that means nothing here."""
        unknown_keys(self.layers[0], known, self.place, self.problems)

    @property
    def name(self) -> str:
        """What the material is called."""
        return self.text("name") or self.text("use") or self.text("kind")


def section(  # noqa: PLR0913  a table is its text, two names, and where to look things up
    raw: Any, *, place: str, field: str, role: str, shelf: Shelf, problems: Problems
) -> Section:
    """Return a table of the document with the facts of what it uses below it."""
    typed = table(raw, place, problems)
    layers: list[Layer] = [typed]
    for key in ("use", "kind"):
        # The kind may be named by the table itself or by the material it uses.
        here = Section(place, field, layers, problems)
        name = here.text(key)
        if not name:
            continue
        facts = shelf.facts(role, name)
        if facts is not None:
            layers.append(_shelf_layer(facts))
        elif key == "use" or "use" not in here:
            here.note(key, f"There is no {role} called “{name}”.", _did_you_mean(name, role, shelf))
    return Section(place, field, layers, problems)


def or_else(value: float | None, default: float) -> float:
    """Return a value, or what stands for nothing said."""
    return default if value is None else value


def _shelf_layer(facts: Mapping[str, Any]) -> Layer:
    return {key: fact(raw, TYPICAL) for key, raw in facts.items() if not blank(raw)}


def _did_you_mean(name: str, role: str, shelf: Shelf) -> str:
    names = list(shelf.names(role))
    near = get_close_matches(name.casefold(), names, n=1)
    if near:
        return f'Did you mean "{near[0]}"?'
    if not names:
        return "Leave it out and type the facts themselves."
    return f"Choose one of: {', '.join(names[:12])}."

"""Reads the typed fields of one table of a price document into exact figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from rushlight.candle.document_table import as_text, blank, unknown_keys
from rushlight.cost.amounts import Amount
from rushlight.cost.exact import ZERO
from rushlight.errors import BadInput, Problems
from rushlight.quantity import parse
from rushlight.quantity.reading import quoted

Thing = TypeVar("Thing")


class Fields:
    """The fields of one table; every problem is noted at its place and the reading goes on."""

    def __init__(
        self,
        raw: Any,
        *,
        place: str,
        known: Iterable[str],
        currency: str | None,
        problems: Problems,
    ) -> None:
        """Take the table; note keys that mean nothing in it."""
        self.place, self.currency, self.problems = place, currency, problems
        self.raw: Mapping[str, Any] = {}
        self.is_table = isinstance(raw, Mapping)
        if isinstance(raw, Mapping):
            self.raw = {str(key): value for key, value in raw.items() if not blank(value)}
            unknown_keys(self.raw, known, place, problems)
        else:
            problems.add(place, "This is not a table of fields.", f"Begin it with [{place}].")

    def inner(self, raw: Any, place: str, known: Iterable[str]) -> Fields:
        """Return the fields of a table inside this one."""
        return Fields(raw, place=place, known=known, currency=self.currency, problems=self.problems)

    def add_unsaid(self, more: Problems) -> None:
        """Add problems of fields of this table, but for those a field has a problem of already."""
        said = {problem.place for problem in self.problems.found}
        for problem in more.found:
            place = f"{self.place}.{problem.place}"
            if place not in said:
                self.problems.extend([problem.at(place)])

    def __contains__(self, key: str) -> bool:
        """Whether a field was typed."""
        return key in self.raw

    def note(self, key: str, what: str, remedy: str) -> None:
        """Note a problem of a field."""
        self.problems.add(f"{self.place}.{key}", what, remedy)

    def text(self, key: str, default: str = "") -> str:
        """Return a field as text."""
        return self._read(key, str, default)

    def money(self, key: str, default: Decimal = ZERO) -> Decimal:
        """Return a field as money."""
        return self._read(key, lambda text: parse.money(text, currency=self.currency), default)

    def share(self, key: str, default: Decimal = ZERO) -> Decimal:
        """Return a percentage as a share [1]."""
        return self._read(key, lambda text: exact(float(parse.fraction(text))), default)

    def number(self, key: str, default: Decimal = ZERO) -> Decimal:
        """Return a bare number."""
        return self._read(key, parse.number, default)

    def count(self, key: str, default: int = 1) -> int:
        """Return a whole number."""
        return self._read(key, parse.count, default)

    def minutes(self, key: str) -> Decimal:
        """Return a duration in minutes; a bare number is minutes."""
        return self._read(
            key, lambda text: exact(float(parse.duration(text, default="min"))) / 60, ZERO
        )

    def amount(self, key: str) -> Amount | None:
        """Return a mass in kg, a volume in litres, or a bare number of pieces."""
        return self._read(key, _amount, None)

    def needed(self, key: str, what: str, example: str) -> bool:
        """Note a missing field; return whether it is there."""
        if key in self or not self.is_table:  # what is no table is said once, not field by field
            return key in self
        self.note(key, f"{what} is missing.", f'Type, for example, "{example}".')
        return False

    def _read(self, key: str, read: Callable[[str], Thing], default: Thing) -> Thing:
        if key not in self:
            return default
        try:
            return read(as_text(self.raw[key]))
        except BadInput as bad:
            self.problems.extend(bad.at(f"{self.place}.{key}").problems)
            return default


def exact(value: float) -> Decimal:
    """Return the decimal number a float was typed as: its shortest writing."""
    return Decimal(repr(value))


def _amount(text: str) -> Amount:
    readers: tuple[Callable[[], Amount], ...] = (
        lambda: Amount(parse.number(text.removesuffix("pieces").strip()), "piece"),
        lambda: Amount(exact(float(parse.volume(text))) * 1000, "l"),
        lambda: Amount(exact(float(parse.mass(text))), "kg"),
    )
    for read in readers:
        try:
            return read()
        except BadInput:
            continue
    raise BadInput.one(
        f"{quoted(text)} is not an amount of a material.",
        'Type a mass ("10 kg"), a volume ("5 l") or a number of pieces ("50").',
    )
